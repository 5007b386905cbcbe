"""Ask a climbwright service from Python."""
