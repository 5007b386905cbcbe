"""Learning an aeroplane from its flights."""
