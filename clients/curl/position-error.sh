#!/bin/sh
# Airspeed position error from GPS ground speeds on three headings.
#
# Hold one indicated airspeed and one altitude on three legs and note GPS ground speed and track, or
# the heading steered, of each: true and calibrated airspeed, the wind, and the correction to add to
# the indicated airspeed, instrument error included. Four to eight legs are answered by least
# squares. Legs and wind count from the same north.
#
#     sh position-error.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh position-error.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# In a query.
ask --get "$address/v1/position-error" \
    --data-urlencode 'pressure_altitude=4500 ft' \
    --data-urlencode 'oat=18 C' \
    --data-urlencode 'indicated=74 kt' \
    --data-urlencode 'leg=92kt@005deg' \
    --data-urlencode 'leg=74kt@128deg' \
    --data-urlencode 'leg=84kt@244deg' \
    --data-urlencode 'course=track'

# As JSON.
ask "$address/v1/position-error" --header 'Content-Type: application/json' --data @- <<'END'
{
  "indicated": "74 kt",
  "legs": [
    {"ground_speed": "92 kt", "track": "5 deg"},
    {"ground_speed": "74 kt", "track": "128 deg"},
    {"ground_speed": "84 kt", "track": "244 deg"}
  ],
  "pressure_altitude": "4500 ft",
  "oat": "18 C"
}
END
