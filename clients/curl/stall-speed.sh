#!/bin/sh
# Stall speed at a weight, in a bank, with a lift gain.
#
# Power off. Carried over from a stall that was flown, or from wing area and lift coefficient.
#
#     sh stall-speed.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh stall-speed.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# In a query.
ask --get "$address/v1/stall-speed" \
    --data-urlencode 'weight=575 kg' \
    --data-urlencode 'reference_speed=38 kt' \
    --data-urlencode 'reference_weight=520 kg' \
    --data-urlencode 'bank=30 deg' \
    --data-urlencode 'lift_gain=9 %'

# As JSON.
ask "$address/v1/stall-speed" --header 'Content-Type: application/json' --data @- <<'END'
{
  "reference_speed": "38 kt",
  "reference_weight": "520 kg",
  "weight": "575 kg",
  "bank": "30 deg",
  "lift_gain": "9 %"
}
END
