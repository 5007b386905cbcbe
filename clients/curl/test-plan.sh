#!/bin/sh
# The next flights: which would narrow an answer most.
#
# Of climbs, level flights, stalls, glides and pulls on a scale in the given loadings and
# conditions, those that would narrow a chosen answer most, in the order in which to fly them, with
# what they should read and what is left of the answer's spread; as text a card to print.
#
#     sh test-plan.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh test-plan.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# As JSON.
ask "$address/v1/test-plan" --header 'Content-Type: application/json' --data @- <<'END'
{
  "aircraft": {
    "name": "invented two-seat tube-and-fabric high wing",
    "wing": {"area": "13.4 m2", "span": "9.9 m"},
    "empty": {"weight": "318 kg", "arm": "0.33 m"},
    "stations": [
      {"name": "pilot", "arm": "0.46 m"},
      {"name": "passenger", "arm": "0.46 m"},
      {"name": "fuel", "arm": "0.61 m", "capacity": "76 L", "density": "0.72 kg/L"}
    ],
    "engine": {"power": "80 hp", "speed": "3300 rpm", "reduction": 1, "cycle": "four-stroke"},
    "propeller": {"kind": "fixed-pitch", "diameter": "1.62 m", "pitch_class": "middle"},
    "drag": {"airframe_class": "strut-braced-fabric"},
    "stalls": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg"}]
  },
  "narrow": {"measure": "best_climb_rate", "loading": "two-up", "condition": "summer noon"},
  "flights": 4,
  "loadings": [
    {"name": "solo", "stations": {"pilot": "82 kg", "fuel": "50 L"}},
    {"name": "two-up", "stations": {"pilot": "82 kg", "passenger": "74 kg", "fuel": "50 L"}}
  ],
  "conditions": [
    {"name": "cool morning", "pressure_altitude": "5200 ft", "oat": "9 C"},
    {"name": "summer noon", "pressure_altitude": "5400 ft", "oat": "31 C"}
  ]
}
END
