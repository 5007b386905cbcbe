"""The shown calculation: every answer as a chain of steps that compute it again, to be followed with a calculator."""
