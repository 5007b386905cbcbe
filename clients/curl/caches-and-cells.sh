#!/bin/sh
# ETag, HEAD, OPTIONS.
#
# How to ask again without being sent the same again, and what a cell of a spreadsheet sends. An
# answer to a GET is named by its ETag. It may be kept for as long as Cache-Control says, and is
# then asked for by that name.
#
#     sh caches-and-cells.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh caches-and-cells.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

question="$address/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C&dew_point=6C"

# The answer with its headers: look at ETag and Cache-Control.
ask --include "$question"

# HEAD: the headers alone.
headers=$(ask --head "$question")
printf '%s\n' "$headers"

# Asked for by its ETag: 304 and no body, before anything is computed.
tag=$(printf '%s\n' "$headers" | tr -d '\r' | sed -n 's/^[Ee][Tt][Aa][Gg]: *//p')
ask --include --header "If-None-Match: $tag" "$question"

# Another question has another ETag, and is answered.
ask --header "If-None-Match: $tag" "$question&units=si"

# OPTIONS: which methods there are.
ask --include --request OPTIONS "$address/v1/density-altitude"

# One value as plain text, for a cell.
ask "$question&pick=density_altitude"

# A cell loses what is refused: errors=text answers the reason as text, with 200. Here most is missing.
ask "$address/v1/density-altitude?elevation=6150ft&errors=text"
