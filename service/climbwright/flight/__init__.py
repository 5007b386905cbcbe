"""What the machine does in the air: power, thrust, drag, stall, climb and level flight.

Closed forms in SI; every argument is a float or an array and they broadcast. True airspeed unless a name says
otherwise. Nothing here knows a unit or the web.
"""
