"""Malformed requests by hand: what an aeroplane's description can get wrong, each refused at its own field."""

import pytest

from .asking import refused
from .test_malformed import names, still_answers

DROP = object()


def change(body, path, value):
    *way, last = path.strip("/").split("/")
    for part in way:
        body = body[int(part)] if part.isdigit() else body[part]
    last = int(last) if isinstance(body, list) else last
    if value is DROP:
        del body[last]
    else:
        body[last] = value


BOWTIE = [
    {"weight": "320 kg", "arm": "0.34 m"},
    {"weight": "590 kg", "arm": "0.60 m"},
    {"weight": "590 kg", "arm": "0.34 m"},
    {"weight": "320 kg", "arm": "0.60 m"},
]
FLAT = [{"weight": "320 kg", "arm": arm} for arm in ("0.3 m", "0.4 m", "0.5 m")]
CHANGE = "/options/0/changes"
PERFORMANCE, COMPARISON, BALANCE = "performance", "comparison", "balance"
REPORT = "/conditions/1/metar"

# operation, changes to the given_request, the pointer that the refusal must name
CASES = [
    (PERFORMANCE, {"/aircraft/empty/weight": "-371 kg"}, "/aircraft/empty/weight"),
    (PERFORMANCE, {"/aircraft/empty/weight": "0 kg"}, "/aircraft/empty/weight"),
    (PERFORMANCE, {"/aircraft/empty": DROP}, "/aircraft/empty"),
    (PERFORMANCE, {"/aircraft/scales": [{"name": "a", "weight": "1 kg", "arm": "0 m"}] * 2}, "/aircraft/scales"),
    (PERFORMANCE, {"/aircraft/wing/area": "-11.8 m2"}, "/aircraft/wing/area"),
    (PERFORMANCE, {"/aircraft/wing/span": "0 m"}, "/aircraft/wing/span"),
    (PERFORMANCE, {"/aircraft/wing": DROP}, "/aircraft/wing"),
    (PERFORMANCE, {"/aircraft/engine": DROP}, "/aircraft/engine"),
    (PERFORMANCE, {"/aircraft/propeller": DROP}, "/aircraft/propeller"),
    (PERFORMANCE, {"/aircraft/drag": DROP}, "/aircraft/drag"),
    (PERFORMANCE, {"/aircraft/drag": {}}, "/aircraft/drag"),
    (PERFORMANCE, {"/aircraft": DROP}, "/aircraft"),
    (PERFORMANCE, {"/loadings": DROP}, "/loadings"),
    (PERFORMANCE, {"/loadings": []}, "/loadings"),
    (PERFORMANCE, {"/conditions": []}, "/conditions"),
    (PERFORMANCE, {"/conditions": DROP}, "/conditions"),
    (PERFORMANCE, {"/climb": {"speed": "1 kt"}}, "/climb/speed"),
    (PERFORMANCE, {"/aircraft/limits/forward": "2.0 m"}, "/aircraft/envelope"),
    (PERFORMANCE, {"/aircraft/envelope": BOWTIE}, "/aircraft/envelope"),
    (PERFORMANCE, {"/aircraft/envelope": FLAT}, "/aircraft/envelope"),
    (PERFORMANCE, {"/aircraft/envelope": BOWTIE[:2]}, "/aircraft/envelope"),
    (PERFORMANCE, {"/aircraft/envelope": []}, "/aircraft/envelope"),
    (PERFORMANCE, {"/aircraft/stations/0/name": "fuel"}, "/aircraft/stations/1/name"),
    (PERFORMANCE, {"/loadings/0/stations/fuel": "86 L"}, "/loadings/0/stations/fuel"),
    (PERFORMANCE, {"/loadings/0/stations/fuel": "-1 L"}, "/loadings/0/stations/fuel"),
    (PERFORMANCE, {"/loadings/0/stations/seats": "60 L"}, "/loadings/0/stations/seats"),
    (PERFORMANCE, {"/loadings/0/stations/trunk": "5 kg"}, "/loadings/0/stations/trunk"),
    (PERFORMANCE, {"/loadings/0/stations/a~b": "5 kg"}, "/loadings/0/stations/a~0b"),
    (PERFORMANCE, {"/loadings/0/stations": []}, "/loadings/0/stations"),
    (PERFORMANCE, {"/loadings/0/stations": "full"}, "/loadings/0/stations"),
    (PERFORMANCE, {"/loadings/0/name": DROP}, "/loadings/0/name"),
    (PERFORMANCE, {"/conditions/0/name": DROP}, "/conditions/0/name"),
    (PERFORMANCE, {"/conditions/0/name": "as reported at Example Mesa"}, "/conditions/1/name"),
    (PERFORMANCE, {"/aircraft/stations/1/density": DROP}, "/aircraft/stations/1"),
    (PERFORMANCE, {"/aircraft/stations/0/capacity": "90 L"}, "/aircraft/stations/0/capacity"),
    (PERFORMANCE, {"/aircraft/engine/reduction": "0"}, "/aircraft/engine/reduction"),
    (PERFORMANCE, {"/aircraft/engine/cycle": "six-stroke"}, "/aircraft/engine/cycle"),
    (PERFORMANCE, {"/aircraft/engine/power": "95 bhp"}, "/aircraft/engine/power"),
    (PERFORMANCE, {"/aircraft/engine/lapse_constant": True}, "/aircraft/engine/lapse_constant"),
    (PERFORMANCE, {"/aircraft/engine/lapse_constant": "11.7 % %"}, "/aircraft/engine/lapse_constant"),
    (PERFORMANCE, {"/aircraft/engine/power_margin": 5}, "/aircraft/engine/power_margin"),
    (PERFORMANCE, {"/aircraft/propeller/kind": "constant-efficiency"}, "/aircraft/propeller/efficiency"),
    (PERFORMANCE, {"/aircraft/propeller/efficiency": 0.8}, "/aircraft/propeller/efficiency"),
    (PERFORMANCE, {"/aircraft/stalls/0/weight": DROP}, "/aircraft/stalls/0/weight"),
    (PERFORMANCE, {"/aircraft/stalls/0/maximum_lift_coefficient": 1.4}, "/aircraft/stalls/0/speed"),
    (PERFORMANCE, {"/aircraft/stalls/1/configuration": "clean"}, "/aircraft/stalls/1/configuration"),
    (PERFORMANCE, {"/aircraft/limits/load_factor": 3.8}, "/aircraft/limits/load_factor_weight"),
    (PERFORMANCE, {"/aircraft/limits/maximum_weight": {"value": 620, "unit": "kg", "plus_minus": 5}},
     "/aircraft/limits/maximum_weight"),
    (PERFORMANCE, {"/aircraft/airspeed_correction": [{"indicated": "40 kt", "calibrated": "43 kt"}]},
     "/aircraft/airspeed_correction"),
    (PERFORMANCE, {"/aircraft/airspeed_correction": [{"indicated": "80 kt", "calibrated": "80 kt"},
                                                     {"indicated": "40 kt", "calibrated": "43 kt"}]},
     "/aircraft/airspeed_correction/1"),
    (PERFORMANCE, {"/conditions/0/oat": "20 C"}, "/conditions/0/oat"),
    (PERFORMANCE, {"/conditions/0/qnh": "1013 hPa"}, "/conditions/0/qnh"),
    (PERFORMANCE, {"/conditions/0/density_altitude": DROP}, "/conditions/0"),
    (PERFORMANCE, {"/conditions/0/headwind": "90 m/s"}, "/conditions/0/headwind"),
    (PERFORMANCE, {"/conditions/1/oat": "20 C"}, "/conditions/1/oat"),
    (PERFORMANCE, {"/conditions/1/elevation": DROP}, "/conditions/1/elevation"),
    (PERFORMANCE, {REPORT: "METAR XXXX 241300Z 21006KT 9999 FEW090 Q1018"}, REPORT),
    (PERFORMANCE, {REPORT: "METAR XXXX 241300Z 21006KT 9999 FEW090 29/ Q1018"}, REPORT),
    (PERFORMANCE, {REPORT: "METAR XXXX 241300Z 21006KT 9999 FEW090 29/08"}, REPORT),
    (PERFORMANCE, {REPORT: "METAR XXXX 241300Z 21006KT 9999 FEW090 29/08 Q1018 A2992"}, REPORT),
    (PERFORMANCE, {REPORT: "METAR XXXX 241300Z 21006KT 9999 FEW090 ///// Q////"}, REPORT),
    (PERFORMANCE, {REPORT: "METAR XXXX 241300Z 21006KT 9999 FEW090 08/29 Q1018"}, "/conditions/1"),
    (PERFORMANCE, {REPORT: "the wind is fair"}, REPORT),
    (PERFORMANCE, {REPORT: "Q1018 " * 300}, REPORT),
    (PERFORMANCE, {REPORT: "\u0661\u0662/08 Q1018"}, REPORT),
    (PERFORMANCE, {REPORT: ""}, REPORT),
    (PERFORMANCE, {"/aircraft": "an aeroplane"}, "/aircraft"),
    (COMPARISON, {"/baseline/scales/0/tare": "151 kg"}, "/baseline/scales/0/tare"),
    (COMPARISON, {"/baseline/scales/1/name": "left main"}, "/baseline/scales/1/name"),
    (COMPARISON, {"/baseline/limits/aft": "0.34 m"}, "/baseline/limits/aft"),
    (COMPARISON, {"/baseline/limits/aft": "0.30 m"}, "/baseline/limits/aft"),
    (COMPARISON, {"/baseline/items/0/weight": "-3.6 kg"}, "/baseline/items/0/weight"),
    (COMPARISON, {f"{CHANGE}/0/removed": DROP}, f"{CHANGE}/0/removed"),
    (COMPARISON, {f"{CHANGE}/0/fitted": DROP}, f"{CHANGE}/0/fitted"),
    (COMPARISON, {f"{CHANGE}/0/removed/weight": DROP}, f"{CHANGE}/0/removed/weight"),
    (COMPARISON, {f"{CHANGE}/0/fitted/arm": DROP}, f"{CHANGE}/0/fitted/arm"),
    (COMPARISON, {f"{CHANGE}/0/engine": DROP}, f"{CHANGE}/0/engine"),
    (COMPARISON, {f"{CHANGE}/1/removed": DROP}, f"{CHANGE}/1/removed"),
    (COMPARISON, {f"{CHANGE}/1/fitted": DROP}, f"{CHANGE}/1/fitted"),
    (COMPARISON, {f"{CHANGE}/1/propeller": DROP}, f"{CHANGE}/1/propeller"),
    (COMPARISON, {f"{CHANGE}/0/cost": "13400"}, f"{CHANGE}/0/cost"),
    (COMPARISON, {f"{CHANGE}/0/cost": "-1 EUR"}, f"{CHANGE}/0/cost"),
    (COMPARISON, {f"{CHANGE}/0/cost": "13400 XYZ"}, f"{CHANGE}/0/cost"),
    (COMPARISON, {f"{CHANGE}/0/cost": {"value": [1, 2], "unit": "EUR"}}, f"{CHANGE}/0/cost"),
    (COMPARISON, {f"{CHANGE}/0/cost": {"value": 5, "unit": "EUR", "plus_minus": 1}}, f"{CHANGE}/0/cost"),
    (COMPARISON, {f"{CHANGE}/1/cost": "1650 USD"}, f"{CHANGE}/1/cost"),
    (COMPARISON, {f"{CHANGE}/2/name": "propeller"}, f"{CHANGE}/2/name"),
    (COMPARISON, {f"{CHANGE}/2/kind": "repaint"}, f"{CHANGE}/2/kind"),
    (COMPARISON, {f"{CHANGE}/2/kind": DROP}, f"{CHANGE}/2/kind"),
    (COMPARISON, {f"{CHANGE}/2/kind": ["add"]}, f"{CHANGE}/2/kind"),
    (COMPARISON, {f"{CHANGE}/2/kind": "move"}, f"{CHANGE}/2"),
    (COMPARISON, {f"{CHANGE}/3/weight": "900 kg"}, f"{CHANGE}/"),
    (COMPARISON, {f"{CHANGE}/5/parasite_area_change": "-0.9 m2"}, f"{CHANGE}/"),
    (COMPARISON, {f"{CHANGE}/6/configuration": "half flap"}, f"{CHANGE}/6/configuration"),
    (COMPARISON, {f"{CHANGE}/6/maximum_lift_gain": "900 %"}, f"{CHANGE}/6/maximum_lift_gain"),
    (COMPARISON, {f"{CHANGE}/6": {"kind": "wing", "name": "tips"}}, f"{CHANGE}/6"),
    (COMPARISON, {f"{CHANGE}/6": {"kind": "station", "name": "rack"}}, f"{CHANGE}/6/station"),
    (COMPARISON, {"/options": []}, "/options"),
    (COMPARISON, {"/options": DROP}, "/options"),
    (COMPARISON, {"/options/0/changes": DROP}, "/options/0/changes"),
    (COMPARISON, {"/options/0/name": "=cmd|' /C calc'!A0"}, "/options/0/name"),
    (COMPARISON, {"/loadings/1/name": "solo"}, "/loadings/1/name"),
    (COMPARISON, {"/conditions/0/dew_point": "12 C"}, "/conditions/0/dew_point"),
    (COMPARISON, {"/conditions/0/relative_humidity": "40 %"}, "/conditions/0/relative_humidity"),
    (COMPARISON, {"/conditions/0/pressure_altitude": "6000 ft"}, "/conditions/0/pressure_altitude"),
    (COMPARISON, {"/conditions/0/oat": DROP}, "/conditions/0/oat"),
    (COMPARISON, {"/conditions/0/temperature_offset": "5 K"}, "/conditions/0/temperature_offset"),
    (BALANCE, {"/envelope": BOWTIE}, "/envelope"),
    (BALANCE, {"/forward": "0.3 m"}, "/envelope"),
    (BALANCE, {"/chord": DROP}, "/chord"),
    (BALANCE, {"/scales": []}, "/scales"),
    (BALANCE, {"/scales": DROP}, "/"),
    (BALANCE, {"/empty": {"weight": "300 kg", "arm": "0.4 m"}}, "/scales"),
    (BALANCE, {"/loading/seats": "155 L"}, "/loading/seats"),
    (BALANCE, {"/loading/roof": "5 kg"}, "/loading/roof"),
    (BALANCE, {"/stations/1/capacity": "50 L"}, "/loading/fuel"),
    (BALANCE, {"/changes/0/kind": "engine"}, "/changes/0/kind"),
    (BALANCE, {"/load": ["60L@0.6m"]}, "/load/0"),
    (BALANCE, {"/load": ["60L*0.72@0.6m"]}, "/load/0"),
    (BALANCE, {"/load": ["60kg"]}, "/load/0"),
    (BALANCE, {"/load": ["60kg@0.6"]}, "/load/0"),
    (BALANCE, {"/load": ["60kg@0.6m@1m"]}, "/load/0"),
    (BALANCE, {"/load": ["@0.6m"]}, "/load/0"),
    (BALANCE, {"/load": [""]}, "/load/0"),
    (BALANCE, {"/load": [5]}, "/load/0"),
    (BALANCE, {"/load": ["1kg@" + "9" * 400 + "m"]}, "/load/0"),
    (BALANCE, {"/load": ["=A1:60kg@0.6m"]}, "/load/0"),
    (BALANCE, {"/load": ["1e9kg@0m"]}, "/load/0"),
    (BALANCE, {"/load": ["60kg*0.72kg/L@0.6m"]}, "/load/0"),
]  # fmt: skip
IDS = [f"{i}-{operation}-{next(iter(changes))}" for i, (operation, changes, _) in enumerate(CASES)]


@pytest.mark.parametrize(("operation", "changes", "pointer"), CASES, ids=IDS)
def test_refused_by_name(client, given_request, operation, changes, pointer):
    body = given_request(operation)
    assert client.post(f"/v1/{operation}", json=body).status_code == 200
    for path, value in changes.items():
        change(body, path, value)
    document = refused(client.post(f"/v1/{operation}", json=body), 422)
    assert names(document, pointer.rstrip("/")), (pointer, document["errors"])
    still_answers(client)


# operation, query, pointer
QUERIES = [
    ("density-altitude", {}, ""),
    ("density-altitude", {"elevation": "5400 ft"}, "/elevation"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "1017 hPa"}, "/oat"),
    ("density-altitude", {"elevation": "5400", "qnh": "1017 hPa", "oat": "31 C"}, "/elevation"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "1017 ft", "oat": "31 C"}, "/qnh"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "29.92", "oat": "31 C"}, "/qnh"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "2992 hPa", "oat": "31 C"}, "/qnh"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "1017 hPa", "oat": "31"}, "/oat"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "1017 hPa", "oat": "310 C"}, "/oat"),
    ("density-altitude", {"elevation": "5400 ft", "qnh": "1017 hPa", "oat": "31 C", "dew_point": "35 C"}, "/dew_point"),
    ("density-altitude", {"pressure_altitude": "5 ft", "qnh": "1017 hPa", "oat": "31 C"}, "/pressure_altitude"),
    ("density-altitude", {"pressure_altitude": "5 ft", "oat": "31 C", "relative_humidity": "101 %"},
     "/relative_humidity"),
    ("density-altitude", {"density_altitude": "5 ft", "oat": "31 C"}, "/oat"),
    ("density-altitude", {"elevaton": "5400 ft"}, "/elevaton"),
    ("density-altitude", {"density_altitude": "8600 ft", "headwind": "5 kt"}, "/headwind"),
    ("density-altitude", {"elevation": "5400 ft", "metar": "XXXX 241200Z 24008KT 31/09"}, "/metar"),
    ("atmosphere", {"altitude": "0 m", "geometric_altitude": "0 m"}, "/altitude"),
    ("atmosphere", {}, "/altitude"),
    ("atmosphere", {"altitude": "99 km"}, "/altitude"),
    ("atmosphere", {"altitude": "0 m", "temperature_offset": "-300 K"}, "/temperature_offset"),
    ("atmosphere", {"altitude": ""}, "/altitude"),
    ("atmosphere", {"altitude": "0 m", "pick": "nothing"}, "/pick"),
    ("atmosphere", {"altitude": "0 m", "format": "xml"}, "/format"),
    ("atmosphere", {"altitude": "0 m", "units": "furlongs"}, "/units"),
    ("atmosphere", {"altitude": "0 m", "Format": "csv"}, "/Format"),
    ("atmosphere", {"altitude": "0 m", "callback": "f"}, "/callback"),
    ("airspeed", {"indicated": "70 kt"}, ""),
    ("airspeed", {"density_altitude": "0 ft"}, "/calibrated"),
    ("airspeed", {"indicated": "70 kt", "true": "80 kt", "density_altitude": "0 ft"}, "/true"),
    ("airspeed", {"mach": "1.2", "density_altitude": "0 ft"}, "/mach"),
    ("airspeed", {"true": "339 m/s", "pressure_altitude": "50000 ft", "temperature_offset": "0 K"}, "/true"),
    ("airspeed", {"true": "-80 kt", "density_altitude": "0 ft"}, "/true"),
    ("airspeed", {"indicated": "70 kt", "density_altitude": "0 ft", "airspeed_correction": "[]"},
     "/airspeed_correction"),
    ("stall-speed", {"reference_speed": "40 kt", "weight": "500 kg"}, "/reference_weight"),
    ("stall-speed", {"weight": "500 kg"}, "/reference_speed"),
    ("stall-speed", {"reference_speed": "40 kt", "reference_weight": "500 kg"}, "/weight"),
    ("stall-speed", {"reference_speed": "40 kt", "reference_weight": "500 kg", "weight": "500 kg", "bank": "90 deg"},
     "/bank"),
    ("stall-speed", {"reference_speed": "40 kt", "reference_weight": "500 kg", "weight": "500 kg", "bank": "30"},
     "/bank"),
    ("climb-estimate", {"power": "100 hp", "weight": "500 kg"}, ""),
    ("climb-estimate", {"power": "100", "weight": "500 kg", "density_altitude": "0 ft"}, "/power"),
    ("climb-estimate", {"power": "100 hp", "weight": "0 kg", "density_altitude": "0 ft"}, "/weight"),
    ("climb-estimate", {"power": "100 hp", "weight": "500 kg", "density_altitude": "0 ft", "efficiency": "80"},
     "/efficiency"),
    ("climb-estimate", {"power": "100 hp", "weight": "500 kg", "density_altitude": "0 ft", "efficiency": "80 %",
                        "pitch_class": "climb"}, "/pitch_class"),
    ("balance", {}, "/load"),
    ("balance", {"load": "318kg@0.33"}, "/load/0"),
    ("balance", {"load": "318@0.33m"}, "/load/0"),
    ("balance", {"load": "-318kg@0.33m"}, ""),
    ("balance", {"load": "60gal*0.72kg/L@0.6m"}, "/load/0"),
    ("balance", {"load": "318kg@0.33m", "chord": "1.3 m"}, "/leading_edge_arm"),
    ("balance", {"load": "318kg@0.33m", "forward": "0.5 m", "aft": "0.3 m"}, "/aft"),
    ("balance", {"load": "318kg@0.33m", "scales": "[]"}, "/scales"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("operation", "query", "pointer"), QUERIES, ids=[f"{i}-{case[0]}-{case[2]}" for i, case in enumerate(QUERIES)]
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_refused_query_by_name(client, operation, query, pointer, method):
    if method == "GET":
        response = client.get(f"/v1/{operation}", query_string=query)
    else:
        options = {name: query[name] for name in query if name in ("pick", "format", "units")}
        body = {name: query[name] for name in query if name not in options}
        response = client.post(f"/v1/{operation}", json=body, query_string=options)
    document = refused(response, 422)
    assert names(document, pointer), (pointer, document["errors"])
    still_answers(client)
