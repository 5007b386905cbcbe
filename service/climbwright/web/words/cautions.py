"""The catalogue of cautions: code, severity, when it appears, and its sentence. One place for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass

from climbwright.answers.notes import Caution
from climbwright.units import Unit
from climbwright.web.words.numbers import shown

__all__ = ["CAUTIONS", "CautionWords", "caution_text"]


@dataclass(frozen=True, slots=True)
class CautionWords:
    """Severity, when the caution appears, and its sentence; {name} in it is a number in the reader's unit or a name."""

    severity: str
    when: str
    text: str


CAUTIONS: Mapping[str, CautionWords] = {
    "estimate": CautionWords(
        "caution",
        "Every answer about an aeroplane.",
        (
            "This is an estimate, not a flight manual. Local rules, an approved weighing and a licensed "
            "inspector decide; test flights find out."
        ),
    ),
    "over-maximum-weight": CautionWords(
        "warning",
        "The weight is above the greatest one of the limits.",
        "the weight of {weight} is {excess} above the maximum of {limit}.",
    ),
    "cg-outside-limits": CautionWords(
        "warning",
        "The CG is outside its limits as loaded.",
        "the CG at {arm} is {excess} {side} its limit of {limit}.",
    ),
    "cg-leaves-limits-as-fuel-burns": CautionWords(
        "warning",
        "The CG begins inside its limits and leaves them on the way that burning fuel takes it.",
        "it begins inside its limits and leaves them as fuel burns: at {weight} the CG lies at {arm}.",
    ),
    "below-envelope": CautionWords(
        "warning",
        "The weight is below the lightest corner of the envelope.",
        "the weight of {weight} is below the {limit} at which the envelope begins.",
    ),
    "power-above-limit": CautionWords(
        "warning",
        "The engine gives more here, or at sea level, than the mount or the hub may take.",
        "the engine gives up to {value}; the mount or the hub may take {limit}.",
    ),
    "faster-than-never-exceed": CautionWords(
        "warning",
        "The greatest level speed is above the never-exceed speed.",
        (
            "level flight at full throttle reaches {value} calibrated, above the never-exceed speed of "
            "{marked} indicated ({limit} calibrated)."
        ),
    ),
    "faster-than-smooth-air-limit": CautionWords(
        "caution",
        "The greatest level speed is above the limit for smooth air.",
        (
            "level flight at full throttle reaches {value} calibrated; above {marked} indicated ({limit} "
            "calibrated) only in smooth air."
        ),
    ),
    "approach-above-flap-limit": CautionWords(
        "caution",
        "1.3 stall speeds are above the flap limit.",
        (
            "1.3 stall speeds, {value} calibrated, lie above the {marked} indicated ({limit} calibrated) at "
            "which flaps may go out."
        ),
    ),
    "below-station-minimum": CautionWords(
        "warning",
        "A station holds less than its minimum.",
        "station '{station}' holds {weight}, less than its minimum of {least}.",
    ),
    "would-tip": CautionWords(
        "warning",
        "A wheel would have to pull the aeroplane down to keep it standing.",
        "the wheel '{wheel}' would carry {load}: standing so, the aeroplane would tip.",
    ),
    "scale-empty": CautionWords(
        "warning",
        "A scale of the weighing read no more than its tare.",
        ("the scale '{scale}' carried nothing beyond its tare: the aeroplane was about to tip, or a reading is wrong."),
    ),
    "weighed-at-one-arm": CautionWords(
        "warning",
        "All scales stood at one arm.",
        ("all scales stood at {arm}, on which no aeroplane stands: check the arms before you believe the CG."),
    ),
    "load-factor-reduced": CautionWords(
        "caution",
        "The weight is above the one at which the limit load factor was shown.",
        ("at {weight}, above the {shown} at which the structure was shown, its limit load factor falls to {factor}."),
    ),
    "no-climb": CautionWords(
        "warning",
        "The best rate of climb is not above zero.",
        "at full throttle the best rate of climb is {value}: it cannot climb.",
    ),
    "thrust-exceeds-weight": CautionWords(
        "warning",
        "Thrust is greater than weight in the climb.",
        "thrust exceeds weight, which these formulas do not cover: check power and weight.",
    ),
    "no-level-flight": CautionWords(
        "warning",
        "Level flight cannot be held above the stall.",
        "level flight cannot be held at any speed above the stall.",
    ),
    "best-angle-speed-held": CautionWords(
        "info",
        "The speed of the best angle is held at 1.2 stall speeds.",
        ("the speed of the steepest climb lies near the stall; it is held at 1.2 stall speeds, {value} calibrated."),
    ),
    "best-rate-speed-held": CautionWords(
        "info",
        "The speed of the best rate is held at 1.2 stall speeds.",
        ("the speed of the fastest climb lies near the stall; it is held at 1.2 stall speeds, {value} calibrated."),
    ),
    "climb-speed-near-stall": CautionWords(
        "warning",
        "The climb speed asked for is below 1.2 stall speeds.",
        "the climb speed asked for is {value} times the stall speed, below 1.2.",
    ),
    "tip-mach": CautionWords(
        "caution",
        "The tips' Mach number in level flight is above 0.85.",
        "the propeller's tips reach Mach {value} in level flight at full throttle, above {limit}.",
    ),
    "static-thrust-impossible": CautionWords(
        "warning",
        ("The propeller as described gives more static thrust than momentum theory allows; the bound is answered."),
        (
            "the propeller as described would give {value} times the greatest static thrust that is possible:"
            " check its efficiency, its speed and its diameter."
        ),
    ),
    "static-thrust-high": CautionWords(
        "caution",
        "The propeller as described gives more than 0.80 of the ideal static thrust.",
        ("the propeller as described gives {value} of the ideal static thrust, above 0.80: hardly met in practice."),
    ),
    "power-above-rated": CautionWords(
        "info",
        "The air is denser than standard sea level, so that power is above rated.",
        "the air is denser than standard: power is {value} times rated if the engine may be run so.",
    ),
    "overspeed": CautionWords(
        "warning",
        ("Level at full throttle the engine turns faster than its greatest speed, or 1.05 times its rated speed."),
        "level at full throttle the engine turns {value}, above the {limit} that it may.",
    ),
    "lugging": CautionWords(
        "caution",
        "Standing still at full throttle the engine turns below 0.75 of its rated speed.",
        (
            "standing still at full throttle the engine turns only {value} of its rated speed: the pitch is "
            "coarse, and take-off and cooling suffer."
        ),
    ),
    "propeller-clearance": CautionWords(
        "caution",
        "hub_height leaves the tips less than 0.23 m (9 in) above the ground.",
        (
            "the propeller's tips clear the ground by {value}, less than {limit} (a common least clearance; "
            "0.18 m with a nosewheel)."
        ),
    ),
    "setting-beyond-full-throttle": CautionWords(
        "caution",
        "The cruise's power setting is more than full throttle gives.",
        "the power setting of {value} is more than full throttle gives here: full throttle is answered.",
    ),
    "reserve-not-carried": CautionWords(
        "warning",
        "The fuel on board is less than the reserve.",
        "the fuel on board falls short of the reserve by {value}.",
    ),
    "does-not-move": CautionWords(
        "warning",
        "Thrust does not overcome friction and slope.",
        "at full throttle it does not begin to roll ({value} of its weight is missing).",
    ),
    "does-not-lift-off": CautionWords(
        "warning",
        "It rolls but drag and friction use up the thrust before lift-off speed.",
        "it rolls but does not reach lift-off speed: thrust is used up before.",
    ),
    "does-not-clear-obstacle": CautionWords(
        "warning",
        "It lifts off but cannot climb over the obstacle, the rise of the ground counted.",
        "it lifts off after {value} but does not climb over the obstacle.",
    ),
    "does-not-stop": CautionWords(
        "warning",
        "The brakes do not hold it on the slope, or the ground falls away as steeply as it descends.",
        "landing, it touches down at {value} true and does not come to a stop: the slope is too steep for it.",
    ),
    "ceiling-without-lapse": CautionWords(
        "caution",
        "Every answer with a ceiling of an electric motor.",
        "The ceilings of a motor without lapse leave out how fast it may turn, its cooling and its battery.",
    ),
    "turn-above-load-factor": CautionWords(
        "warning",
        "The turn's load factor is above the one allowed at this weight.",
        "the turn takes a load factor of {value}, above the {limit} allowed at this weight.",
    ),
    "cruise-near-stall": CautionWords(
        "warning",
        "The cruise lies below 1.2 stall speeds.",
        "the cruise lies at {value} times the stall speed, below 1.2.",
    ),
    "crosswind-strong": CautionWords(
        "caution",
        "The crosswind is above a fifth of the stall speed.",
        "the crosswind of {value} is above a fifth of the stall speed, {limit} (common practice, no source).",
    ),
    "tailwind-on-strip": CautionWords(
        "caution",
        "The wind blows from behind in the direction of take-off.",
        "the wind comes from behind at {value}: it lengthens take-off and landing that way "
        "by about twice its share of the speed.",
    ),
    "one-way-uphill": CautionWords(
        "caution",
        "A one-way strip slopes upwards in the direction of take-off.",
        "a one-way strip is usually left downhill and landed on uphill; this one rises by {value} along the take-off: "
        "check the sign of slope.",
    ),
    "too-short-for-takeoff": CautionWords(
        "warning",
        "The strip is shorter than the take-off distance.",
        "the take-off takes {value} and the strip has {limit}: it is too short.",
    ),
    "too-short-for-landing": CautionWords(
        "warning",
        "The strip is shorter than the landing distance.",
        "the landing takes {value} and the strip has {limit}: it is too short.",
    ),
    "too-short-for-takeoff-reversed": CautionWords(
        "warning",
        "The same the other way along the strip.",
        "the take-off the other way takes {value} and the strip has {limit}: it is too short.",
    ),
    "too-short-for-landing-reversed": CautionWords(
        "warning",
        "The same the other way along the strip.",
        "the landing the other way takes {value} and the strip has {limit}: it is too short.",
    ),
    "short-of-takeoff-margin": CautionWords(
        "caution",
        "The strip is long enough only without the safety factor.",
        "with the safety factor the take-off needs {value} and the strip has {limit}.",
    ),
    "short-of-landing-margin": CautionWords(
        "caution",
        "The strip is long enough only without the safety factor.",
        "with the safety factor the landing needs {value} and the strip has {limit}.",
    ),
    "short-of-takeoff-margin-reversed": CautionWords(
        "caution",
        "The same the other way along the strip.",
        "with the safety factor the take-off the other way needs {value} and the strip has {limit}.",
    ),
    "short-of-landing-margin-reversed": CautionWords(
        "caution",
        "The same the other way along the strip.",
        "with the safety factor the landing the other way needs {value} and the strip has {limit}.",
    ),
    "strip-elsewhere": CautionWords(
        "caution",
        "A condition's elevation differs from the strip's by more than 3 m.",
        (
            "the condition lies at {value} and the strip at {limit}: take-off and landing are answered for "
            "the condition."
        ),
    ),
    "runway-estimate": CautionWords(
        "info",
        "Every answer about a take-off or a landing.",
        (
            "Distances are for a well-flown aeroplane on a surface as described; wet, soft or long grass, an "
            "engine not warmed up and a tired pilot lengthen them. The safety factors are the regulator's, "
            "not a reserve to use up."
        ),
    ),
    "glide-idle-propeller": CautionWords(
        "info",
        "Every answer about a glide.",
        (
            "The glide with the propeller idling differs from that with it stopped or windmilling: try yours "
            "at a safe height."
        ),
    ),
    "turn-back": CautionWords(
        "caution",
        "Every answer about a course reversal.",
        (
            "The height lost in turning back leaves out the time to decide, the further turn onto the "
            "runway's line and the wind: after an engine failure land ahead unless you have practised it and "
            "are higher than all that."
        ),
    ),
    "above-rule-weight": CautionWords(
        "warning",
        "The weight is above the cap of the owner's category.",
        "the weight of {value} is above the {limit} of the rules given.",
    ),
    "above-rule-stall-speed": CautionWords(
        "warning",
        "The stall speed is above the cap of the owner's category.",
        "the stall speed of {value} calibrated is above the {limit} of the rules given.",
    ),
    "above-rule-level-speed": CautionWords(
        "warning",
        "The level speed at sea level is above the cap of the owner's category.",
        "level flight at sea level reaches {value} calibrated, above the {limit} of the rules given.",
    ),
    "carburettor-ice-likely": CautionWords(
        "caution",
        "21 C or colder and a relative humidity of 80 % or more, an engine that burns fuel.",
        (
            "carburettor ice is likely at {value} and a relative humidity of {humidity}: most so below 21 C "
            "and above 80 % (FAA-H-8083-25, from memory)."
        ),
    ),
    "carburettor-ice-possible": CautionWords(
        "info",
        "38 C or colder and a relative humidity of 50 % or more, an engine that burns fuel.",
        (
            "carburettor ice is possible at {value} and a relative humidity of {humidity}, most so at low "
            "power (FAA-H-8083-25, from memory)."
        ),
    ),
    "fuel-vapour": CautionWords(
        "info",
        "30 C or warmer, an engine that burns fuel.",
        ("at {value} fuel may vaporise in hot lines and pumps, motor fuel first (common practice, no source)."),
    ),
    "cooling-not-modelled": CautionWords(
        "caution",
        "10 K or more above standard temperature, an engine that burns fuel.",
        (
            "engine cooling is not modelled: at {value} a slow climb at full throttle may overheat the engine"
            " before it reaches these figures."
        ),
    ),
    "constant-efficiency": CautionWords(
        "caution",
        "The propeller has one efficiency at every speed.",
        (
            "One propeller efficiency at every speed flatters the climb, which is flown slowly: for first "
            "estimates only."
        ),
    ),
    "stall-power-off": CautionWords(
        "info",
        "Every answer with stall speeds.",
        "Stall speeds are power off, wings level, slowing gently; banked or abrupt it comes sooner.",
    ),
    "season-as-sent": CautionWords(
        "caution",
        "Every answer about a season.",
        (
            "Shares are of the hours that were sent, night and day alike: another year differs. Gusts, crosswind, "
            "frost, a surface wetter or softer than described and the pilot are not in them, and a margin that holds "
            "is no reserve to use up: decide on the day, by its own weather."
        ),
    ),
    "courses-close-together": CautionWords(
        "caution",
        "No three of the legs lie 60 degrees or more apart.",
        (
            "no three legs have {kind} further than {value} from each other, and {limit} is wanted: a small "
            "error of a ground speed becomes a large one of the airspeed."
        ),
    ),
    "test-flight": CautionWords(
        "warning",
        "A plan of test flights.",
        "fly these by the local rules of the test phase, in smooth air, inside the weights and speeds already flown, "
        "with someone who watches and a radio; speeds on two opposite runs; no stall below a height from which you "
        "recover.",
    ),
    "change-unexplained": CautionWords(
        "caution",
        "A part of an observed change, of two standard deviations and more, is not explained by the changes made.",
        "from '{before}' to '{after}' more or less changed than the changes made explain: of an airspeed this often "
        "means that the airspeed system changed with the panel; check its position error before you rely on either.",
    ),
    "spread-drawn": CautionWords(
        "info",
        "Spreads that central differences do not tell, as near a ceiling or a kink: drawn at random instead.",
        "the spread of these is uneven, and was taken from aeroplanes drawn at random; look at the range between their "
        "5th and 95th percentile: {names}.",
    ),
    "observation-doubted": CautionWords(
        "warning",
        "An observation of a calibration does not fit the others.",
        "the observation '{name}' does not fit the others: correct it or leave it out, and calibrate again; "
        "it counts as long as it stands.",
    ),
    "calibration-unsettled": CautionWords(
        "warning",
        "The search for the most likely aeroplane did not come to rest.",
        "the fit did not come to rest: check the observations for mistakes before relying on it.",
    ),
    "calibration-edge": CautionWords(
        "warning",
        "A number learned lies more than three spreads from its starting value.",
        "{name} as learned, {value}, lies more than three spreads from where it began: check the observations, the "
        "class that was sent, and the units.",
    ),
    "calibration-momentum": CautionWords(
        "warning",
        "The propeller as learned pulls harder standing still than momentum theory allows.",
        "the propeller as learned pulls harder standing still than a loss-free one of its diameter: check power and "
        "diameter, and the observations.",
    ),
    "calibration-few": CautionWords(
        "caution",
        "Fewer than three observations, or all of one kind.",
        "so few observations, or of one kind alone, cannot tell drag from thrust: fly others, a level speed beside a "
        "climb for example.",
    ),
    "calibration-not-narrowed": CautionWords(
        "info",
        "Numbers whose spread after the fit is above nine tenths of the one before.",
        "these were not narrowed and stand as they stood before: {names}.",
    ),
    "implausible-correction": CautionWords(
        "warning",
        "The correction is above 15 % of the indicated speed.",
        (
            "the correction of {value} is larger than {limit}, which is 15 % of the indicated airspeed: check"
            " the legs, the units, the altitude and the pitot and static lines before you believe it."
        ),
    ),
    "wind-above-airspeed": CautionWords(
        "warning",
        "The wind found is stronger than the airspeed.",
        "the wind comes out at {value}, above the true airspeed of {limit}: check the legs.",
    ),
    "legs-disagree": CautionWords(
        "caution",
        "The legs' residual is above 3 % of the airspeed.",
        (
            "the legs disagree by {value}, more than {limit}: wind, altitude or airspeed changed, or a leg is"
            " noted wrong."
        ),
    ),
}


def caution_text(caution: Caution, units: Mapping[str, Unit]) -> tuple[str, str]:
    """Severity and sentence of a caution; it begins with the loading and condition it speaks of."""
    known = CAUTIONS[caution.code]
    words = {
        name: value if isinstance(value, str) else shown(value[0], value[1], units)
        for name, value in caution.values.items()
    }
    scene = ", ".join(words[name] for name in ("loading", "condition") if words.get(name))
    sentence = known.text.format(**words)
    return known.severity, f"{scene}: {sentence}" if scene else sentence[0].upper() + sentence[1:]
