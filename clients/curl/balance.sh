#!/bin/sh
# Weight, CG, limits, and the line the CG walks as fuel burns.
#
# Loads at arms by GET; an aeroplane with scales, items, changes, stations, tanks in the order in
# which they burn, an envelope and wheels by POST: also the running record of its empty weight, the
# worst loadings, ballast that mends it, the load on each wheel, and what its pilot may weigh for
# each state of the fuel.
#
#     sh balance.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh balance.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# In a query.
ask --get "$address/v1/balance" \
    --data-urlencode 'load=empty:324.5kg@0.42m' \
    --data-urlencode 'load=pilot:84kg@0.52m' \
    --data-urlencode 'load=passenger:71kg@0.52m' \
    --data-urlencode 'load=fuel:60L*0.72kg/L@0.66m' \
    --data-urlencode 'chord=1.43 m' \
    --data-urlencode 'leading_edge_arm=0.05 m' \
    --data-urlencode 'maximum_weight=590 kg' \
    --data-urlencode 'forward=0.34 m' \
    --data-urlencode 'aft=0.60 m'

# As JSON.
ask "$address/v1/balance" --header 'Content-Type: application/json' --data @- <<'END'
{
  "scales": [
    {"name": "left main", "weight": "150.5 kg", "tare": "1.0 kg", "arm": "0.15 m"},
    {"name": "right main", "weight": "152.0 kg", "tare": "1.0 kg", "arm": "0.15 m"},
    {"name": "tail", "weight": "22.0 kg", "tare": "0.5 kg", "arm": "4.62 m"}
  ],
  "items": [{"name": "oil", "weight": "3.6 kg", "arm": "-0.78 m"}],
  "changes": [{"kind": "remove", "name": "old gauges", "weight": "6.4 kg", "arm": "0.12 m"}],
  "stations": [
    {"name": "seats", "arm": "0.52 m", "minimum": "58 kg", "capacity": "200 kg"},
    {
      "name": "fuel",
      "arm": "0.66 m",
      "density": "0.72 kg/L",
      "capacity": "70 L",
      "unusable": "2 L"
    }
  ],
  "loading": {"seats": "155 kg", "fuel": "60 L"},
  "pilot_station": "seats",
  "chord": "1.43 m",
  "leading_edge_arm": "0.05 m",
  "maximum_weight": "590 kg",
  "envelope": [
    {"weight": "320 kg", "arm": "0.34 m"},
    {"weight": "500 kg", "arm": "0.34 m"},
    {"weight": "590 kg", "arm": "0.39 m"},
    {"weight": "590 kg", "arm": "0.60 m"},
    {"weight": "320 kg", "arm": "0.60 m"}
  ]
}
END
