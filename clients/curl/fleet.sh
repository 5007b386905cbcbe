#!/bin/sh
# A whole fleet at once: a table of configurations and conditions, answered row by row.
#
# Any field of an aircraft, a loading or a condition may be a column; what no column says is shared
# by all rows. Every row is answered as performance answers the same aeroplane; a row that is wrong
# says which field and why in the column status, and changes nothing of the others.
#
#     sh fleet.sh [ADDRESS]
#
# ADDRESS is where climbwright answers; left out, it is $CLIMBWRIGHT_ADDRESS, or else http://127.0.0.1:8000.
# Needs curl 7.76 or newer. What is refused is printed with the reason, and ends the script with code 22.
# The aeroplanes, places and numbers are invented. Answers are estimates, not a flight manual: local
# rules, an approved weighing and a licensed inspector decide.
#
# Made by make.py from the examples of the OpenAPI document: change those, not this.
set -eu
address=${1:-${CLIMBWRIGHT_ADDRESS:-http://127.0.0.1:8000}}

# Sends a request by curl and ends the line after its answer; whatever goes wrong ends the script,
# an answer that is sent on from another address too.
ask() {
    code=0
    curl --silent --show-error --fail-with-body --max-time 120 --location --max-redirs 0 "$@" || code=$?
    if [ "$code" -eq 7 ]; then
        echo "No service answers at $address: start one, or say where it is: sh fleet.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# As JSON.
ask "$address/v1/fleet" --header 'Content-Type: application/json' --data @- <<'END'
{
  "shared": {
    "aircraft": {
      "name": "Example C, an invented two-seat high wing",
      "wing": {"area": "13.4 m2", "span": "9.9 m"},
      "empty": {"weight": "318 kg", "arm": "0.33 m"},
      "limits": {"maximum_weight": "560 kg", "forward": "0.27 m", "aft": "0.49 m"},
      "stations": [
        {"name": "seats", "arm": "0.46 m"},
        {"name": "fuel", "arm": "0.61 m", "capacity": "76 L", "density": "0.72 kg/L"}
      ],
      "engine": {"speed": "3300 rpm"},
      "propeller": {"kind": "fixed-pitch", "diameter": "1.62 m", "pitch_class": "climb"},
      "drag": {"airframe_class": "strut-braced-fabric"},
      "stalls": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg"}]
    },
    "loading": {"stations": {"fuel": "40 L"}}
  },
  "columns": {
    "registration": ["before solo", "before two-up", "after solo", "after two-up", "not filled in"],
    "aircraft.engine.power": {"value": [80, 80, 100, 100, null], "unit": "hp"},
    "loading.stations.seats": {"value": [84, 158, 84, 158, 158], "unit": "kg"},
    "condition.density_altitude": {"value": [7500, 7500, 7500, 7500, 7500], "unit": "ft"}
  },
  "measures": ["weight", "cg_margin", "best_climb_rate", "service_ceiling"]
}
END

# With its table as CSV, beside what no column says.
shared=$(cat <<'END'
{
  "aircraft": {
    "name": "Example C, an invented two-seat high wing",
    "wing": {"area": "13.4 m2", "span": "9.9 m"},
    "empty": {"weight": "318 kg", "arm": "0.33 m"},
    "limits": {"maximum_weight": "560 kg", "forward": "0.27 m", "aft": "0.49 m"},
    "stations": [
      {"name": "seats", "arm": "0.46 m"},
      {"name": "fuel", "arm": "0.61 m", "capacity": "76 L", "density": "0.72 kg/L"}
    ],
    "engine": {"speed": "3300 rpm"},
    "propeller": {"kind": "fixed-pitch", "diameter": "1.62 m", "pitch_class": "climb"},
    "drag": {"airframe_class": "strut-braced-fabric"},
    "stalls": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg"}]
  },
  "loading": {"stations": {"fuel": "40 L"}}
}
END
)
ask "$address/v1/fleet?measures=weight,cg_margin,best_climb_rate,service_ceiling" \
    --form-string "shared=$shared" --form 'table=@-;filename=table.csv;type=text/csv' <<'END'
registration,aircraft.engine.power [hp],loading.stations.seats [kg],condition.density_altitude [ft]
before solo,80,84,7500
before two-up,80,158,7500
after solo,100,84,7500
after two-up,100,158,7500
not filled in,,158,7500
END
