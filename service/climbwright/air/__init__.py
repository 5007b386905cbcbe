"""The air itself: standard atmosphere, moist air, altimetry, airspeeds, coded reports.

Nothing here knows an aeroplane, a unit or the web. Numbers are SI, floats or arrays, and broadcast.
"""
