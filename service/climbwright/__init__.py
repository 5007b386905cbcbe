"""climbwright: what a re-engined light aeroplane will weigh, where it will balance and how it will climb."""
