#!/bin/sh
# The standard atmosphere at an altitude.
#
# Temperature, pressure, density, their ratios, speed of sound and viscosity of the standard
# atmosphere (ISO 2533), -5 to 30 km, shifted by a temperature offset at the same pressure.
#
#     sh atmosphere.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh atmosphere.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# In a query.
ask --get "$address/v1/atmosphere" \
    --data-urlencode 'altitude=6150 ft' \
    --data-urlencode 'temperature_offset=20 K'

# As JSON.
ask "$address/v1/atmosphere" --header 'Content-Type: application/json' --data @- <<'END'
{"altitude": "6150 ft", "temperature_offset": "20 K"}
END
