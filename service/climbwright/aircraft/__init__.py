"""The machine as data: its description, loading and balance, and the changes an owner plans.

Nothing here flies; nothing here knows a unit or the web. Inside, a weight is a mass [kg].
"""
