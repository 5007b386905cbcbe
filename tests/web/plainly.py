"""The textbooks' formulas once more, in plain floats and by search, so that a test need not trust the service's own.

One invented aeroplane of which every number is known stands here twice: as a request, and as numbers in SI.
"""

import copy
import math
from dataclasses import dataclass, replace

from scipy.optimize import brentq, minimize_scalar

from .asking import send

G, R = 9.80665, 287.05287  # ISO 2533
T0, P0, LAPSE = 288.15, 101325.0, 0.0065
RHO0 = P0 / (R * T0)
A0 = math.sqrt(1.4 * R * T0)
FOOT, KNOT, HORSEPOWER = 0.3048, 1852.0 / 3600.0, 745.6998715822702  # definitions
RPM = 2.0 * math.pi / 60.0
KG_PER_KWH = 1.0 / 3.6e6

AEROPLANE = {
    "name": "an invented two-seater of which every number is known",
    "wing": {"area": "13.4 m2", "span": "9.9 m", "height": "1.7 m"},
    "empty": {"weight": "350 kg", "arm": "0.4 m"},
    "limits": {"load_factor": "3.8", "load_factor_weight": "480 kg"},
    "stations": [
        {"name": "pilot", "arm": "0.4 m"},
        {"name": "fuel", "arm": "0.4 m", "density": "0.72 kg/L", "unusable": "2 L"},
    ],
    "engine": {
        "power": "80 hp",
        "speed": "2700 rpm",
        "reduction": 1,
        "aspiration": "natural",
        "lapse_constant": 0.117,
        "power_margin": 0.95,
        "specific_consumption": "0.30 kg/kWh",
    },
    "propeller": {
        "kind": "fixed-pitch",
        "diameter": "1.75 m",
        "best_efficiency": 0.71,
        "best_efficiency_speed": "82 kt",
        "static_speed": "2400 rpm",
    },
    "drag": {"parasite_area": "0.60 m2", "span_efficiency": 0.75, "idle_propeller_area": "0.08 m2"},
    "stalls": [
        {"configuration": "clean", "speed": "39 kt", "weight": "480 kg"},
        {"configuration": "flap", "speed": "35 kt", "weight": "480 kg", "parasite_area_gain": "0.11 m2"},
    ],
}
LOADING = {"pilot": "85 kg", "fuel": "50 L"}
MASS, FUEL = 350.0 + 85.0 + 36.0, 0.72 * 48.0  # all, and what of it can be burned [kg]
FUEL_DENSITY = 720.0
CONSTANT_SPEED = {
    "kind": "constant-speed",
    "diameter": "1.75 m",
    "quality": 0.84,
    "static_quality": 0.6,
    "quality_speed": "50 kt",
}


def aeroplane(**parts):
    """The request's aeroplane; a part given as a dict is laid over the one that is there, None takes a field out."""
    made = copy.deepcopy(AEROPLANE)
    for name, part in parts.items():
        made[name] = made[name] | part if isinstance(part, dict) and isinstance(made.get(name), dict) else part
        if isinstance(made[name], dict):
            made[name] = {field: value for field, value in made[name].items() if value is not None}
    return made


def fly(client, aircraft=None, condition=None, loading=None, units="si", spread=None, **more):
    """The whole answer for one loading in one condition."""
    body = {
        "aircraft": AEROPLANE if aircraft is None else aircraft,
        "loadings": [{"name": "one", "stations": LOADING if loading is None else loading}],
        "conditions": [{"name": "here"} | (condition or {"density_altitude": "0 m"})],
    }
    options = {"units": units} | ({} if spread is None else {"spread": spread})
    return send(client, "performance", body | more, **options)


def measures(client, *args, **more):
    return fly(client, *args, **more)["results"][0]["measures"]


def numbers(client, *args, **more):
    """The measures' values by name, None for one that does not exist."""
    found = measures(client, *args, **more)
    return {name: leaf["value"] for name, leaf in found.items() if name != "stall_speeds"}


def codes(answer):
    return [caution["code"] for caution in answer["cautions"]]


def said(answer, code):
    """The text of the one caution of a code."""
    (text,) = [caution["text"] for caution in answer["cautions"] if caution["code"] == code]
    return text


@dataclass(frozen=True)
class Air:
    """Air with the partial pressure of its vapour."""

    pressure: float
    temperature: float
    vapour: float = 0.0

    @property
    def dry(self):
        """Pressure of the dry air, which alone burns fuel."""
        return self.pressure - self.vapour

    @property
    def density(self):
        return self.dry / (R * self.temperature) + self.vapour / (461.52 * self.temperature)

    @property
    def sigma(self):
        return self.density / RHO0

    def true(self, calibrated):
        """True airspeed of a calibrated one, by impact pressure and Mach number."""
        impact = P0 * ((1.0 + 0.2 * (calibrated / A0) ** 2) ** 3.5 - 1.0)
        mach = math.sqrt(5.0 * ((impact / self.pressure + 1.0) ** (1.0 / 3.5) - 1.0))
        return mach * math.sqrt(1.4 * R * self.temperature)

    def calibrated(self, true):
        mach = true / math.sqrt(1.4 * R * self.temperature)
        impact = self.pressure * ((1.0 + 0.2 * mach**2) ** 3.5 - 1.0)
        return A0 * math.sqrt(5.0 * ((impact / P0 + 1.0) ** (1.0 / 3.5) - 1.0))


def standard(altitude, warmer=0.0):
    """ISO 2533 to 32 km, as much warmer at the same pressure."""
    if altitude <= 11000.0:
        temperature = T0 - LAPSE * altitude
        return Air(P0 * (temperature / T0) ** (G / (R * LAPSE)), temperature + warmer)
    tropopause = standard(11000.0)
    if altitude <= 20000.0:
        fall = math.exp(-G * (altitude - 11000.0) / (R * tropopause.temperature))
        return Air(tropopause.pressure * fall, tropopause.temperature + warmer)
    below = standard(20000.0)
    temperature = below.temperature + 0.001 * (altitude - 20000.0)
    return Air(below.pressure * (temperature / below.temperature) ** (-G / (R * 0.001)), temperature + warmer)


def moist(air, dew_point):
    """Saturation at a dew point [K] over water, by the WMO's formula (Guide to Instruments, No. 8)."""
    celsius = dew_point - 273.15
    return replace(air, vapour=611.2 * math.exp(17.62 * celsius / (243.12 + celsius)))


@dataclass(frozen=True)
class Machine:
    """The same aeroplane in SI; `lift` is lift over weight, and the flaps of take-off are those of the clean stall."""

    mass: float = MASS
    area: float = 0.60
    span: float = 9.9
    efficiency: float = 0.75
    wing_area: float = 13.4
    wing_height: float = 1.7
    power: float = 80.0 * HORSEPOWER * 0.95
    rated: float = 80.0 * HORSEPOWER
    constant: float = 0.117
    kind: str = "fixed-pitch"
    aspiration: str = "natural"
    critical: float = 0.0  # altitude
    diameter: float = 1.75
    best: float = 0.71
    best_speed: float = 82.0 * KNOT
    quality: tuple = (0.84, 0.6, 50.0 * KNOT)
    lift: float = 1.0
    idle: float = 0.08
    consumption: float = 0.30 * KG_PER_KWH
    stall_at_480: float = 39.0 * KNOT

    @property
    def weight(self):
        return self.mass * G

    @property
    def stall(self):
        """Equivalent stall speed, wings level."""
        return self.stall_at_480 * math.sqrt(self.mass / 480.0)

    def changed(self, **numbers):
        return replace(self, **numbers)

    def gliding(self):
        return replace(self, area=self.area + self.idle)

    def flapped(self):
        return replace(self, area=self.area + 0.11, stall_at_480=35.0 * KNOT)

    def power_ratio(self, air):
        """Gagg and Farrar's curve at the pressure altitude, and the root of standard over actual temperature."""
        if self.aspiration == "electric":
            return 1.0
        usual = T0 * (air.dry / P0) ** (R * LAPSE / G)

        def curve(sigma):
            return max((sigma - self.constant) / (1.0 - self.constant), 0.0)

        ratio = curve(air.dry / (R * usual) / RHO0) * math.sqrt(usual / air.temperature)
        return ratio if self.aspiration == "natural" else min(ratio / curve(standard(self.critical).sigma), 1.0)

    def torque_ratio(self, phi, sigma):
        """Static thrust over that at sea level: torque falls with power, or power stays and the engine turns faster."""
        return phi if self.aspiration == "natural" else (phi**2 * sigma) ** (1.0 / 3.0)

    def thrust(self, v, air, phi=None):
        phi = self.power_ratio(air) if phi is None else phi
        if self.kind == "fixed-pitch":
            return self.linear_thrust(v, self.torque_ratio(phi, air.sigma), air.sigma)
        if self.kind == "constant-efficiency":
            return self.best * self.power * phi / v
        return momentum_thrust(self.power * phi * self.quality_at(v), self.diameter, air.density, v)

    def linear_thrust(self, v, torque, sigma):
        static = 1.5 * self.best * self.power / self.best_speed
        fall = -0.5 * self.best * self.power / self.best_speed**3
        return static * torque + fall * sigma * v**2

    def quality_at(self, v):
        full, standing, speed = self.quality
        return full - (full - standing) * max(1.0 - v / speed, 0.0) ** 2

    def shaft_power(self, v, air):
        """Shaft power of level flight at part throttle: the power coefficient of the fixed pitch stays."""
        drag = self.drag(v, air)
        if self.kind == "fixed-pitch":
            base = self.linear_thrust(0.0, 1.0, 1.0)
            fall = self.linear_thrust(v, 0.0, air.sigma)
            return self.power * math.sqrt(((drag - fall) / base) ** 3 / air.sigma)
        if self.kind == "constant-efficiency":
            return drag * v / self.best
        disc = 0.25 * math.pi * self.diameter**2
        ideal = drag * (0.5 * v + math.sqrt(0.25 * v**2 + drag / (2.0 * air.density * disc)))
        return ideal / self.quality_at(v)

    def drag(self, v, air):
        induced = 2.0 * (self.lift * self.weight) ** 2 / (air.density * v**2 * math.pi * self.span**2 * self.efficiency)
        return 0.5 * air.density * v**2 * self.area + induced

    def rate(self, v, air):
        return v * (self.thrust(v, air) - self.drag(v, air)) / self.weight

    def sink(self, v, air):
        return v * self.drag(v, air) / self.weight

    def floor(self, air):
        return 1.2 * self.stall * math.sqrt(self.lift / air.sigma)

    def best_rate(self, air):
        """Speed and rate of the best climb, by search above the floor."""
        return greatest(lambda v: self.rate(v, air), self.floor(air), 120.0)

    def best_angle(self, air):
        return greatest(lambda v: (self.thrust(v, air) - self.drag(v, air)) / self.weight, self.floor(air), 120.0)

    def level(self, air):
        """Greatest level speed, by search above the speed of the best rate."""
        return last_zero(lambda v: self.rate(v, air))

    def at_power(self, shaft, air):
        """Level speed at a shaft power, the faster of two."""
        slow, least = greatest(lambda v: -self.shaft_power(v, air), 5.0, 150.0)
        assert -least < shaft
        return brentq(lambda v: self.shaft_power(v, air) - shaft, slow, 300.0, xtol=1e-11, rtol=1e-14)

    def ceiling(self, rate):
        """Standard altitude at which that rate is left, by search over the height."""
        return brentq(lambda h: self.best_rate(standard(h))[1] - rate, -4000.0, 31900.0, xtol=1e-6)


def momentum_thrust(power, diameter, density, v):
    """Thrust of a loss-free disc, by search: P = T (V/2 + sqrt(V²/4 + T/(2 rho A)))."""
    disc = 2.0 * density * 0.25 * math.pi * diameter**2
    most = (disc * power**2) ** (1.0 / 3.0)
    if v == 0.0 or power == 0.0:
        return most
    return brentq(lambda t: t * (0.5 * v + math.sqrt(0.25 * v**2 + t / disc)) - power, 0.0, 1.001 * most, xtol=1e-11)


def greatest(function, low, high):
    """Where a function with one maximum is greatest, and how great."""
    found = minimize_scalar(
        lambda x: -function(x), bounds=(low, max(high, 3.0 * low)), method="bounded", options={"xatol": 1e-10}
    )
    return max(((low, function(low)), (found.x, -found.fun)), key=lambda pair: pair[1])


def last_zero(function, low=8.0, high=300.0):
    """The last zero of a function that rises to one maximum and falls."""
    top, value = greatest(function, low, high)
    assert value > 0.0
    return brentq(function, top, high, xtol=1e-11, rtol=1e-14)
