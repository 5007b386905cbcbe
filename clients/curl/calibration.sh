#!/bin/sh
# What the aeroplane is, learned from its flights.
#
# The numbers of the aeroplane that its starting values and the observations from its flights
# together make most likely, each with its spread and their correlation, as an aircraft that
# performance, comparison and the rest accept as it is; and what each observation says against the
# fit.
#
#     sh calibration.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh calibration.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# As JSON.
ask "$address/v1/calibration" --header 'Content-Type: application/json' --data @- <<'END'
{
  "aircraft": {
    "name": "invented two-seat tube-and-fabric high wing",
    "wing": {"area": "13.4 m2", "span": "9.9 m", "chord": "1.35 m", "leading_edge_arm": "0 m"},
    "empty": {"weight": "318 kg", "arm": "0.33 m"},
    "limits": {"maximum_weight": "560 kg", "forward": "0.27 m", "aft": "0.49 m"},
    "stations": [
      {"name": "pilot", "arm": "0.46 m"},
      {"name": "passenger", "arm": "0.46 m"},
      {"name": "fuel", "arm": "0.61 m", "capacity": "76 L", "density": "0.72 kg/L"}
    ],
    "engine": {"power": "80 hp", "speed": "3300 rpm", "reduction": 1, "cycle": "four-stroke"},
    "propeller": {"kind": "fixed-pitch", "diameter": "1.62 m", "pitch_class": "middle"},
    "drag": {"airframe_class": "strut-braced-fabric"},
    "stalls": [
      {
        "configuration": "clean",
        "speed": {"value": 39, "unit": "kt", "plus_minus": 2},
        "weight": "480 kg",
        "arm": "0.36 m"
      }
    ]
  },
  "observations": [
    {
      "name": "climb solo",
      "kind": "climb",
      "day": "first",
      "from_altitude": "6000 ft",
      "to_altitude": "7000 ft",
      "duration": "125 s",
      "indicated": "54 kt",
      "stations": {"pilot": "82 kg", "fuel": "50 L"},
      "fuel_used": "1 L",
      "condition": {"pressure_altitude": "6500 ft", "oat": "16 C"}
    },
    {
      "name": "climb two-up",
      "kind": "climb",
      "day": "first",
      "rate": {"value": 300, "unit": "ft/min", "plus_minus": 40},
      "indicated": "56 kt",
      "stations": {"pilot": "82 kg", "passenger": "74 kg", "fuel": "45 L"},
      "condition": {"pressure_altitude": "6500 ft", "oat": "17 C"}
    },
    {
      "name": "cruise",
      "kind": "level",
      "day": "first",
      "indicated": "71 kt",
      "power_fraction": {"value": 65, "unit": "%", "plus_minus": 4},
      "stations": {"pilot": "82 kg", "fuel": "40 L"},
      "condition": {"pressure_altitude": "7000 ft", "oat": "15 C"}
    },
    {
      "name": "stall solo",
      "kind": "stall",
      "day": "first",
      "indicated": "37 kt",
      "stations": {"pilot": "82 kg", "fuel": "40 L"},
      "condition": {"pressure_altitude": "7000 ft", "oat": "15 C"}
    },
    {
      "name": "glide",
      "kind": "glide",
      "day": "second",
      "sink": "690 ft/min",
      "indicated": "55 kt",
      "weight": "436 kg",
      "condition": {"pressure_altitude": "5500 ft", "oat": "12 C"}
    },
    {
      "name": "pull on the scale",
      "kind": "static-thrust",
      "day": "second",
      "thrust": "1350 N",
      "weight": "430 kg",
      "condition": {"pressure_altitude": "3600 ft", "oat": "18 C"}
    }
  ]
}
END
