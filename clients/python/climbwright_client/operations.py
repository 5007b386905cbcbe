"""The operations as methods. Written by generate.py from the OpenAPI document: do not edit."""

from typing import Any, Literal, Unpack, cast

from climbwright_client import shapes

Spread = Literal["linear", "sampled"]


OPERATIONS = {
    "atmosphere": "The standard atmosphere at an altitude",
    "density-altitude": "Density altitude, with and without humidity",
    "airspeed": "Indicated, calibrated, equivalent and true airspeed",
    "position-error": "Airspeed position error from GPS ground speeds on three headings",
    "stall-speed": "Stall speed at a weight, in a bank, with a lift gain",
    "climb-estimate": "A first estimate of the climb",
    "balance": "Weight, CG, limits, and the line the CG walks as fuel burns",
    "performance": "Every measure of an aeroplane",
    "comparison": "Before and after a change",
    "calibration": "What the aeroplane is, learned from its flights",
    "test-plan": "The next flights: which would narrow an answer most",
    "requirement": "The question turned round: what it takes to meet a target",
    "operability": "A season at a strip: the share of hours in which it can be flown",
    "fleet": "A whole fleet at once: a table of configurations and conditions, answered row by row",
}  # and what each answers


class Operations:
    """One method for each operation; the client's own class says how it is asked."""

    def ask(self, operation: str, request: Any, /, **options: Any) -> Any:
        """The answer of an operation, by its name."""
        raise NotImplementedError

    def atmosphere(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.AtmosphereRequest],
    ) -> shapes.AtmosphereAnswer:
        """The standard atmosphere at an altitude.

        altitude: Pressure altitude (geopotential). (at least -5000 m; at most 30000 m; a list of values is
            taken)
        geometric_altitude: Height above mean sea level, in place of altitude. (at least -5000 m; at most
            30000 m; a list of values is taken)
        temperature_offset: Temperature above the standard one; 0 when left out. (at least -80 K; at most 80
            K; a list of values is taken)
        """
        answer = self.ask("atmosphere", request, units=units, working=working, spread=spread)
        return cast("shapes.AtmosphereAnswer", answer)

    def density_altitude(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.DensityAltitudeRequest],
    ) -> shapes.DensityAltitudeAnswer:
        """Density altitude, with and without humidity.

        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m; a list of values is taken)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is
            taken)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a
            list of values is taken)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values
            is taken)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m; a list of values is taken)
        oat: Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K; a list of values is taken)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C;
            a list of values is taken)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values
            is taken)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        """
        answer = self.ask("density-altitude", request, units=units, working=working, spread=spread)
        return cast("shapes.DensityAltitudeAnswer", answer)

    def airspeed(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.AirspeedRequest],
    ) -> shapes.AirspeedAnswer:
        """Indicated, calibrated, equivalent and true airspeed.

        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m; a list of values is taken)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is
            taken)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a
            list of values is taken)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values
            is taken)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m; a list of values is taken)
        oat: Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K; a list of values is taken)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C;
            a list of values is taken)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values
            is taken)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        indicated: What the airspeed indicator reads. (above 0 m/s; at most 340 m/s; a list of values is
            taken)
        calibrated: Indicated corrected for position and instrument error. (above 0 m/s; at most 340 m/s; a
            list of values is taken)
        equivalent: The sea-level speed of the same dynamic pressure. (above 0 m/s; at most 340 m/s; a list of
            values is taken)
        true: Speed through the air. (above 0 m/s; at most 340 m/s; a list of values is taken)
        mach: True airspeed over the speed of sound. (above 0; below 1; a list of values is taken)
        airspeed_correction: Airspeed correction table, rising: linear between its lines, never beyond.
        """
        answer = self.ask("airspeed", request, units=units, working=working, spread=spread)
        return cast("shapes.AirspeedAnswer", answer)

    def position_error(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.PositionErrorRequest],
    ) -> shapes.PositionErrorAnswer:
        """Airspeed position error from GPS ground speeds on three headings.

        indicated (required): Indicated airspeed held on all legs. (at least 5 kt; at most 200 m/s)
        elevation: Height above mean sea level that was flown, with qnh or metar. (at least -500 m; at most
            9000 m)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m)
        oat: Outside air temperature at the height flown. (at least -90 C; at most 60 C)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        legs: Three legs, best a third of a turn apart, all with track or all with heading; of four to eight
            the least squares.
        leg: A leg as text, GROUND_SPEED@ANGLE, in place of legs. Repeat for each.
        course: What the angles of leg are.
        """
        answer = self.ask("position-error", request, units=units, working=working, spread=spread)
        return cast("shapes.PositionErrorAnswer", answer)

    def stall_speed(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.StallSpeedRequest],
    ) -> shapes.StallSpeedAnswer:
        """Stall speed at a weight, in a bank, with a lift gain.

        weight (required): Weight now. (above 0.1 kg; at most 10000 kg; a list of values is taken)
        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m; a list of values is taken)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is
            taken)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a
            list of values is taken)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values
            is taken)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m; a list of values is taken)
        oat: Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K; a list of values is taken)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C;
            a list of values is taken)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values
            is taken)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        reference_speed: Calibrated stall speed flown, wings level. (above 5 kt; at most 150 kt; a list of
            values is taken)
        reference_weight: Weight it was flown at. (above 0.1 kg; at most 10000 kg; a list of values is taken)
        wing_area: Wing area, in place of a stall flown. (above 1 m2; at most 100 m2; a list of values is
            taken)
        maximum_lift_coefficient: Greatest lift coefficient, with wing_area. (above 0.3; at most 5; a list of
            values is taken)
        bank: Bank of a level turn. (at least 0 deg; below 90 deg; a list of values is taken)
        load_factor: Lift over weight, in place of bank. (above 0; at most 12; a list of values is taken)
        lift_gain: Gain of the greatest lift coefficient. (above -0.5; at most 1; a list of values is taken)
        """
        answer = self.ask("stall-speed", request, units=units, working=working, spread=spread)
        return cast("shapes.StallSpeedAnswer", answer)

    def climb_estimate(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.ClimbEstimateRequest],
    ) -> shapes.ClimbEstimateAnswer:
        """A first estimate of the climb.

        power (required): Rated power at sea level. (above 1 hp; at most 2000 hp)
        weight (required): Weight of the loaded aeroplane. (above 0.1 kg; at most 10000 kg)
        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m)
        oat: Outside air temperature. (at least -90 C; at most 60 C)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        headwind: Wind against the flight, for the gradient. (at least -40 m/s; at most 40 m/s)
        span: Wing span. (above 2 m; at most 40 m)
        wing_area: Wing area; its stall speed holds the climb speed up. (above 1 m2; at most 100 m2)
        parasite_area: Drag area that does not come from lift. (above 0.02 m2; at most 10 m2)
        airframe_class: Kind of airframe, for starting values.
        span_efficiency: Oswald's span efficiency. (above 0.3; at most 1)
        pitch_class: What the propeller's pitch favours.
        best_efficiency: Greatest thrust power over rated power. (above 0.2; at most 0.92)
        best_efficiency_speed: True airspeed there. (above 10 kt; at most 300 kt)
        efficiency: One efficiency at every speed, in place of a fixed pitch. (above 0.1; at most 0.95)
        power_margin: Power as installed over rated power. (above 0.2; at most 1.2)
        lapse_constant: C of the altitude lapse. (at least 0; below 0.5)
        cycle: Working cycle of the engine.
        stall_speed: Calibrated stall speed at this weight; the climb keeps 1.2 times it. (above 5 kt; at most
            150 kt)
        """
        answer = self.ask("climb-estimate", request, units=units, working=working, spread=spread)
        return cast("shapes.ClimbEstimateAnswer", answer)

    def balance(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.BalanceRequest],
    ) -> shapes.BalanceAnswer:
        """Weight, CG, limits, and the line the CG walks as fuel burns.

        load: A load and its arm, [NAME:]WEIGHT@ARM; a volume takes its density. Repeat for each.
        chord: Mean aerodynamic chord, for percent of chord. (above 0.1 m; at most 10 m)
        leading_edge_arm: Arm of the leading edge of the mean chord. (at least -100 m; at most 100 m)
        root_chord: Chord on the centre line of a straight-tapered wing; with tip_chord and
            root_leading_edge_arm in place of chord and leading_edge_arm. (above 0.1 m; at most 10 m)
        tip_chord: Chord at its tip. (at least 0 m; at most 10 m)
        leading_edge_sweep: Sweep of its leading edge; none when left out. (at least -45 deg; at most 60 deg)
        root_leading_edge_arm: Arm of its leading edge on the centre line. (at least -100 m; at most 100 m)
        span: Wing span, with root_chord. (above 2 m; at most 40 m)
        maximum_weight: Greatest weight. (above 0 kg; at most 10000 kg; no plus_minus)
        forward: Forward limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
        aft: Aft limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
        ballast_arm: Where ballast could sit that mends a CG outside its limits. (at least -100 m; at most 100
            m; no plus_minus)
        ballast_weight: Ballast whose arm is asked, in place of ballast_arm. (above 0 kg; at most 10000 kg; no
            plus_minus)
        empty: Empty weight and its arm.
        scales: Scale readings in place of empty.
        items: What the weighing left out: oil, coolant, unusable fuel.
        changes: Parts added, removed or moved, and stations changed, after the weighing.
        stations: Places for load; tanks burn in this order, after those that burn_order names.
        burn_order: Names of the tanks that burn first, in turn; the others follow as the stations stand.
        loading: What each station holds, by its name.
        envelope: Corners of the balance envelope, in order around it; in place of forward and aft.
        wheels: The wheels it stands on, for the load on each: side by side ones share one arm. Those of the
            scales when left out.
        pilot_station: The station for which the least and greatest weight are asked, for each state of the
            fuel.
        """
        answer = self.ask("balance", request, units=units, working=working, spread=spread)
        return cast("shapes.BalanceAnswer", answer)

    def performance(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.PerformanceRequest],
    ) -> shapes.PerformanceAnswer:
        """Every measure of an aeroplane.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        aircraft (required): The aeroplane.
        targets: What measures shall be: the chance of each is answered, in every loading and condition unless
            one is named.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        measures: Measures wanted, by name or by group, in place of the aeroplane's own and those of the
            phases spoken of.
        """
        answer = self.ask("performance", request, units=units, working=working, spread=spread)
        return cast("shapes.PerformanceAnswer", answer)

    def comparison(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.ComparisonRequest],
    ) -> shapes.ComparisonAnswer:
        """Before and after a change.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        baseline (required): The aeroplane as it is.
        options (required): What the owner thinks of doing, each a list of changes.
        targets: What measures shall be: the chance of each is answered, in every loading and condition unless
            one is named.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        measures: Measures wanted, by name or by group, in place of the aeroplane's own and those of the
            phases spoken of.
        shares: Whether to answer what each change bought: its share of the change of every measure, of up to
            8 changes or groups of an option.
        observations: What was observed in flight, before and after: each change observed is split into what
            the changes made explain and the rest.
        """
        answer = self.ask("comparison", request, units=units, working=working, spread=spread)
        return cast("shapes.ComparisonAnswer", answer)

    def calibration(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.CalibrationRequest],
    ) -> shapes.CalibrationAnswer:
        """What the aeroplane is, learned from its flights.

        aircraft (required): The aeroplane, as far as it is known.
        observations (required): What was observed in flight.
        """
        answer = self.ask("calibration", request, units=units, working=working, spread=spread)
        return cast("shapes.CalibrationAnswer", answer)

    def test_plan(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.NextFlightsRequest],
    ) -> shapes.TestPlanAnswer:
        """The next flights: which would narrow an answer most.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        aircraft (required): The aeroplane, as far as known.
        narrow (required): The answer to be narrowed.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        flights: How many flights to propose at most.
        """
        answer = self.ask("test-plan", request, units=units, working=working, spread=spread)
        return cast("shapes.TestPlanAnswer", answer)

    def requirement(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.RequirementRequest],
    ) -> shapes.RequirementAnswer:
        """The question turned round: what it takes to meet a target.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        aircraft (required): The aeroplane.
        unknown (required): What is asked for.
        target (required): What shall be met.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        """
        answer = self.ask("requirement", request, units=units, working=working, spread=spread)
        return cast("shapes.RequirementAnswer", answer)

    def operability(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.OperabilityRequest],
    ) -> shapes.OperabilityAnswer:
        """A season at a strip: the share of hours in which it can be flown.

        aircraft (required): The aeroplane.
        loading (required): What its stations hold.
        strip (required): The strip, with its length.
        weather (required): Hours of weather, one value of each column for each: null where it is missing,
            which makes that hour unknown.
        takeoff: How to take off.
        landing: How to land.
        climb: How to climb, in place of the best rate: at this airspeed, with these flaps.
        climb_rate: Least rate of climb wanted; 300 ft/min when left out. (above 0 m/s; at most 30 m/s; no
            plus_minus)
        elevation: Height of the place of qnh above mean sea level; the strip's when left out. (at least -500
            m; at most 9000 m)
        """
        answer = self.ask("operability", request, units=units, working=working, spread=spread)
        return cast("shapes.OperabilityAnswer", answer)


class AsyncOperations:
    """One method for each operation; the client's own class Asyncsays how it is asked."""

    async def ask(self, operation: str, request: Any, /, **options: Any) -> Any:
        """The answer of an operation, by its name."""
        raise NotImplementedError

    async def atmosphere(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.AtmosphereRequest],
    ) -> shapes.AtmosphereAnswer:
        """The standard atmosphere at an altitude.

        altitude: Pressure altitude (geopotential). (at least -5000 m; at most 30000 m; a list of values is
            taken)
        geometric_altitude: Height above mean sea level, in place of altitude. (at least -5000 m; at most
            30000 m; a list of values is taken)
        temperature_offset: Temperature above the standard one; 0 when left out. (at least -80 K; at most 80
            K; a list of values is taken)
        """
        answer = await self.ask("atmosphere", request, units=units, working=working, spread=spread)
        return cast("shapes.AtmosphereAnswer", answer)

    async def density_altitude(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.DensityAltitudeRequest],
    ) -> shapes.DensityAltitudeAnswer:
        """Density altitude, with and without humidity.

        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m; a list of values is taken)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is
            taken)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a
            list of values is taken)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values
            is taken)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m; a list of values is taken)
        oat: Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K; a list of values is taken)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C;
            a list of values is taken)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values
            is taken)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        """
        answer = await self.ask("density-altitude", request, units=units, working=working, spread=spread)
        return cast("shapes.DensityAltitudeAnswer", answer)

    async def airspeed(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.AirspeedRequest],
    ) -> shapes.AirspeedAnswer:
        """Indicated, calibrated, equivalent and true airspeed.

        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m; a list of values is taken)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is
            taken)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a
            list of values is taken)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values
            is taken)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m; a list of values is taken)
        oat: Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K; a list of values is taken)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C;
            a list of values is taken)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values
            is taken)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        indicated: What the airspeed indicator reads. (above 0 m/s; at most 340 m/s; a list of values is
            taken)
        calibrated: Indicated corrected for position and instrument error. (above 0 m/s; at most 340 m/s; a
            list of values is taken)
        equivalent: The sea-level speed of the same dynamic pressure. (above 0 m/s; at most 340 m/s; a list of
            values is taken)
        true: Speed through the air. (above 0 m/s; at most 340 m/s; a list of values is taken)
        mach: True airspeed over the speed of sound. (above 0; below 1; a list of values is taken)
        airspeed_correction: Airspeed correction table, rising: linear between its lines, never beyond.
        """
        answer = await self.ask("airspeed", request, units=units, working=working, spread=spread)
        return cast("shapes.AirspeedAnswer", answer)

    async def position_error(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.PositionErrorRequest],
    ) -> shapes.PositionErrorAnswer:
        """Airspeed position error from GPS ground speeds on three headings.

        indicated (required): Indicated airspeed held on all legs. (at least 5 kt; at most 200 m/s)
        elevation: Height above mean sea level that was flown, with qnh or metar. (at least -500 m; at most
            9000 m)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m)
        oat: Outside air temperature at the height flown. (at least -90 C; at most 60 C)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        legs: Three legs, best a third of a turn apart, all with track or all with heading; of four to eight
            the least squares.
        leg: A leg as text, GROUND_SPEED@ANGLE, in place of legs. Repeat for each.
        course: What the angles of leg are.
        """
        answer = await self.ask("position-error", request, units=units, working=working, spread=spread)
        return cast("shapes.PositionErrorAnswer", answer)

    async def stall_speed(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.StallSpeedRequest],
    ) -> shapes.StallSpeedAnswer:
        """Stall speed at a weight, in a bank, with a lift gain.

        weight (required): Weight now. (above 0.1 kg; at most 10000 kg; a list of values is taken)
        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m; a list of values is taken)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is
            taken)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a
            list of values is taken)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values
            is taken)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m; a list of values is taken)
        oat: Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K; a list of values is taken)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C;
            a list of values is taken)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values
            is taken)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        reference_speed: Calibrated stall speed flown, wings level. (above 5 kt; at most 150 kt; a list of
            values is taken)
        reference_weight: Weight it was flown at. (above 0.1 kg; at most 10000 kg; a list of values is taken)
        wing_area: Wing area, in place of a stall flown. (above 1 m2; at most 100 m2; a list of values is
            taken)
        maximum_lift_coefficient: Greatest lift coefficient, with wing_area. (above 0.3; at most 5; a list of
            values is taken)
        bank: Bank of a level turn. (at least 0 deg; below 90 deg; a list of values is taken)
        load_factor: Lift over weight, in place of bank. (above 0; at most 12; a list of values is taken)
        lift_gain: Gain of the greatest lift coefficient. (above -0.5; at most 1; a list of values is taken)
        """
        answer = await self.ask("stall-speed", request, units=units, working=working, spread=spread)
        return cast("shapes.StallSpeedAnswer", answer)

    async def climb_estimate(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.ClimbEstimateRequest],
    ) -> shapes.ClimbEstimateAnswer:
        """A first estimate of the climb.

        power (required): Rated power at sea level. (above 1 hp; at most 2000 hp)
        weight (required): Weight of the loaded aeroplane. (above 0.1 kg; at most 10000 kg)
        elevation: Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000
            m)
        qnh: Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
        pressure_altitude: What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
        station_pressure: Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
        density_altitude: Density altitude alone: standard temperature is assumed there. (at least -5000 m; at
            most 30000 m)
        oat: Outside air temperature. (at least -90 C; at most 60 C)
        temperature_offset: Temperature above the standard one at this pressure, in place of oat. (at least
            -80 K; at most 80 K)
        dew_point: Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
        relative_humidity: Relative humidity, in place of dew_point. (at least 0; at most 1)
        metar: A coded weather report, with elevation: temperature, dew point and pressure are read.
        headwind: Wind against the flight, for the gradient. (at least -40 m/s; at most 40 m/s)
        span: Wing span. (above 2 m; at most 40 m)
        wing_area: Wing area; its stall speed holds the climb speed up. (above 1 m2; at most 100 m2)
        parasite_area: Drag area that does not come from lift. (above 0.02 m2; at most 10 m2)
        airframe_class: Kind of airframe, for starting values.
        span_efficiency: Oswald's span efficiency. (above 0.3; at most 1)
        pitch_class: What the propeller's pitch favours.
        best_efficiency: Greatest thrust power over rated power. (above 0.2; at most 0.92)
        best_efficiency_speed: True airspeed there. (above 10 kt; at most 300 kt)
        efficiency: One efficiency at every speed, in place of a fixed pitch. (above 0.1; at most 0.95)
        power_margin: Power as installed over rated power. (above 0.2; at most 1.2)
        lapse_constant: C of the altitude lapse. (at least 0; below 0.5)
        cycle: Working cycle of the engine.
        stall_speed: Calibrated stall speed at this weight; the climb keeps 1.2 times it. (above 5 kt; at most
            150 kt)
        """
        answer = await self.ask("climb-estimate", request, units=units, working=working, spread=spread)
        return cast("shapes.ClimbEstimateAnswer", answer)

    async def balance(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.BalanceRequest],
    ) -> shapes.BalanceAnswer:
        """Weight, CG, limits, and the line the CG walks as fuel burns.

        load: A load and its arm, [NAME:]WEIGHT@ARM; a volume takes its density. Repeat for each.
        chord: Mean aerodynamic chord, for percent of chord. (above 0.1 m; at most 10 m)
        leading_edge_arm: Arm of the leading edge of the mean chord. (at least -100 m; at most 100 m)
        root_chord: Chord on the centre line of a straight-tapered wing; with tip_chord and
            root_leading_edge_arm in place of chord and leading_edge_arm. (above 0.1 m; at most 10 m)
        tip_chord: Chord at its tip. (at least 0 m; at most 10 m)
        leading_edge_sweep: Sweep of its leading edge; none when left out. (at least -45 deg; at most 60 deg)
        root_leading_edge_arm: Arm of its leading edge on the centre line. (at least -100 m; at most 100 m)
        span: Wing span, with root_chord. (above 2 m; at most 40 m)
        maximum_weight: Greatest weight. (above 0 kg; at most 10000 kg; no plus_minus)
        forward: Forward limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
        aft: Aft limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
        ballast_arm: Where ballast could sit that mends a CG outside its limits. (at least -100 m; at most 100
            m; no plus_minus)
        ballast_weight: Ballast whose arm is asked, in place of ballast_arm. (above 0 kg; at most 10000 kg; no
            plus_minus)
        empty: Empty weight and its arm.
        scales: Scale readings in place of empty.
        items: What the weighing left out: oil, coolant, unusable fuel.
        changes: Parts added, removed or moved, and stations changed, after the weighing.
        stations: Places for load; tanks burn in this order, after those that burn_order names.
        burn_order: Names of the tanks that burn first, in turn; the others follow as the stations stand.
        loading: What each station holds, by its name.
        envelope: Corners of the balance envelope, in order around it; in place of forward and aft.
        wheels: The wheels it stands on, for the load on each: side by side ones share one arm. Those of the
            scales when left out.
        pilot_station: The station for which the least and greatest weight are asked, for each state of the
            fuel.
        """
        answer = await self.ask("balance", request, units=units, working=working, spread=spread)
        return cast("shapes.BalanceAnswer", answer)

    async def performance(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.PerformanceRequest],
    ) -> shapes.PerformanceAnswer:
        """Every measure of an aeroplane.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        aircraft (required): The aeroplane.
        targets: What measures shall be: the chance of each is answered, in every loading and condition unless
            one is named.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        measures: Measures wanted, by name or by group, in place of the aeroplane's own and those of the
            phases spoken of.
        """
        answer = await self.ask("performance", request, units=units, working=working, spread=spread)
        return cast("shapes.PerformanceAnswer", answer)

    async def comparison(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.ComparisonRequest],
    ) -> shapes.ComparisonAnswer:
        """Before and after a change.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        baseline (required): The aeroplane as it is.
        options (required): What the owner thinks of doing, each a list of changes.
        targets: What measures shall be: the chance of each is answered, in every loading and condition unless
            one is named.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        measures: Measures wanted, by name or by group, in place of the aeroplane's own and those of the
            phases spoken of.
        shares: Whether to answer what each change bought: its share of the change of every measure, of up to
            8 changes or groups of an option.
        observations: What was observed in flight, before and after: each change observed is split into what
            the changes made explain and the rest.
        """
        answer = await self.ask("comparison", request, units=units, working=working, spread=spread)
        return cast("shapes.ComparisonAnswer", answer)

    async def calibration(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.CalibrationRequest],
    ) -> shapes.CalibrationAnswer:
        """What the aeroplane is, learned from its flights.

        aircraft (required): The aeroplane, as far as it is known.
        observations (required): What was observed in flight.
        """
        answer = await self.ask("calibration", request, units=units, working=working, spread=spread)
        return cast("shapes.CalibrationAnswer", answer)

    async def test_plan(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.NextFlightsRequest],
    ) -> shapes.TestPlanAnswer:
        """The next flights: which would narrow an answer most.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        aircraft (required): The aeroplane, as far as known.
        narrow (required): The answer to be narrowed.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        flights: How many flights to propose at most.
        """
        answer = await self.ask("test-plan", request, units=units, working=working, spread=spread)
        return cast("shapes.TestPlanAnswer", answer)

    async def requirement(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.RequirementRequest],
    ) -> shapes.RequirementAnswer:
        """The question turned round: what it takes to meet a target.

        loadings (required): Loadings to answer for.
        conditions (required): Conditions to answer for.
        aircraft (required): The aeroplane.
        unknown (required): What is asked for.
        target (required): What shall be met.
        climb: How to climb; with it the measures of this climb are answered.
        cruise: How to cruise; with it speed, fuel flow, range and endurance are answered.
        turn: How to turn; with it stall, climb, radius and height lost in the turn.
        takeoff: How to take off; with it the take-off is answered.
        landing: How to land; with it the landing is answered.
        strip: The strip; with it take-off, landing and the margins there are answered.
        """
        answer = await self.ask("requirement", request, units=units, working=working, spread=spread)
        return cast("shapes.RequirementAnswer", answer)

    async def operability(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.OperabilityRequest],
    ) -> shapes.OperabilityAnswer:
        """A season at a strip: the share of hours in which it can be flown.

        aircraft (required): The aeroplane.
        loading (required): What its stations hold.
        strip (required): The strip, with its length.
        weather (required): Hours of weather, one value of each column for each: null where it is missing,
            which makes that hour unknown.
        takeoff: How to take off.
        landing: How to land.
        climb: How to climb, in place of the best rate: at this airspeed, with these flaps.
        climb_rate: Least rate of climb wanted; 300 ft/min when left out. (above 0 m/s; at most 30 m/s; no
            plus_minus)
        elevation: Height of the place of qnh above mean sea level; the strip's when left out. (at least -500
            m; at most 9000 m)
        """
        answer = await self.ask("operability", request, units=units, working=working, spread=spread)
        return cast("shapes.OperabilityAnswer", answer)
