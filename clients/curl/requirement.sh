#!/bin/sh
# The question turned round: what it takes to meet a target.
#
# The power, weight, fuel, payload, ballast, arm, drag, lift gain, density altitude, temperature or
# runway length at which a measure just meets its target, in one loading and one condition.
#
#     sh requirement.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh requirement.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# As JSON.
ask "$address/v1/requirement" --header 'Content-Type: application/json' --data @- <<'END'
{
  "aircraft": {
    "name": "Example B, an invented two-seat low wing",
    "wing": {"area": "11.8 m2", "span": "8.9 m", "chord": "1.32 m", "leading_edge_arm": "1.60 m"},
    "empty": {"weight": "371 kg", "arm": "1.86 m"},
    "limits": {"maximum_weight": "620 kg"},
    "envelope": [
      {"weight": "380 kg", "arm": "1.84 m"},
      {"weight": "540 kg", "arm": "1.84 m"},
      {"weight": "620 kg", "arm": "1.89 m"},
      {"weight": "620 kg", "arm": "2.03 m"},
      {"weight": "380 kg", "arm": "2.03 m"}
    ],
    "stations": [
      {"name": "seats", "arm": "2.05 m", "minimum": "60 kg"},
      {
        "name": "fuel",
        "arm": "1.72 m",
        "capacity": "85 L",
        "density": "0.72 kg/L",
        "unusable": "3 L"
      }
    ],
    "engine": {"power": "95 hp", "speed": "2750 rpm", "cycle": "four-stroke"},
    "propeller": {"kind": "fixed-pitch", "diameter": "1.68 m", "pitch_class": "cruise"},
    "drag": {"airframe_class": "cantilever-metal"},
    "stalls": [
      {"configuration": "clean", "speed": "46 kt", "weight": "600 kg", "arm": "1.93 m"},
      {"configuration": "landing flap", "speed": "41 kt", "weight": "600 kg", "arm": "1.93 m"}
    ],
    "tail_arm": "4.3 m"
  },
  "loadings": [{"name": "two-up", "stations": {"seats": "158 kg", "fuel": "60 L"}}],
  "conditions": [
    {"name": "density altitude 8,900 ft", "density_altitude": "8900 ft"},
    {
      "name": "as reported at Example Mesa",
      "elevation": "6150 ft",
      "metar": "METAR XXXX 241300Z 21006KT 9999 FEW090 29/08 Q1018"
    }
  ],
  "unknown": {"field": "power", "least": "60 hp", "greatest": "160 hp"},
  "target": {
    "measure": "best_climb_rate",
    "at_least": "600 ft/min",
    "condition": "as reported at Example Mesa"
  }
}
END
