"""An invented aeroplane whose numbers are all known, for the tests of changes and starting values."""

from climbwright.aircraft.description import Aircraft, Drag, Engine, Limits, Mass, Propeller, Stall, Station, Wing

RPM = 3.141592653589793 / 30.0

AEROPLANE = Aircraft(
    name="two-seat tube-and-fabric high wing",
    wing=Wing(area=13.4, span=9.9, chord=1.35, leading_edge_arm=0.0),
    empty=Mass(318.0, 0.33),
    limits=Limits(maximum_mass=560.0, forward=0.27, aft=0.49),
    stations=(
        Station("pilot", 0.46),
        Station("passenger", 0.46),
        Station("fuel", 0.61, capacity=54.72, density=720.0, unusable=2.0),
    ),
    engine=Engine(power=59656.0, speed=3300.0 * RPM, lapse_constant=0.12, power_margin=0.97, power_limit=90000.0),
    propeller=Propeller(
        "fixed-pitch",
        diameter=1.62,
        pitch_class="middle",
        best_efficiency=0.71,
        best_efficiency_speed=42.0,
        static_speed=2950.0 * RPM,
    ),
    drag=Drag(parasite_area=0.60, span_efficiency=0.74),
    stalls=(Stall("clean", speed=20.0, mass=480.0, arm=0.36), Stall("flaps", maximum_lift_coefficient=1.9)),
    tail_arm=3.9,
)
