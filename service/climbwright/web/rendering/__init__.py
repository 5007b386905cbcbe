"""From SI results to what the reader sees: JSON, CSV and text in the units asked for."""
