"""The phases of a flight: each module computes the measures of one, for all aeroplanes and scenes at once.

Numbers have the axes spread, aircraft, loading, condition, or fewer that broadcast to them.
"""
