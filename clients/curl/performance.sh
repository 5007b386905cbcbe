#!/bin/sh
# Every measure of an aeroplane.
#
# Weight, balance, power, climb, ceilings, level and stall speeds for each loading and condition. A
# GET asks for one loading in one condition; aircraft holds a whole aircraft, packed as base64url of
# its JSON compressed by zlib (RFC 1950), and each field told by itself stands in place of what that
# says.
#
#     sh performance.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh performance.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# In a query.
# Its aircraft is a whole aircraft: base64url (RFC 4648) of its JSON compressed by zlib (RFC 1950).
# The single fields after it stand in place of what that says.
ask --get "$address/v1/performance" \
    --data-urlencode 'aircraft=eNqNU0GO2zAM_Iqgc-I6jp04e1ygt_6gKALWph3BkixI8jqLoH8vKSepkcv2FJicGVIzzE1aMCjf5PcrGKdRvG8EWKHsB9qIrYjzuA0IUehxFrOyvdzI9PN2k-ARiLnbZbUwBTWCA0uFOjsJQ5_NZfQtA7J9kQoaoSXuGdsez-BN6h1y6v3ZSDQufrLsjKq_ROrtjzsx8MAHtD4sUK2MioGxBq7KTOb85ByKnDmsR0_Qo6O3_Vxr1vmLZpk0V5Cq_BJyn7KCnL6AFFm-f4W87PKA_CIjI0Q12pB2vwfEKYQ1uEqeGmXZAZ54f_mT0U2oVzselxAacNAotlrWlfhBlRZtWAo5g4b-G1cnOwX4rVloTzBeC22vLLLvbpzRU-dUiYtLySNy1MWxyoV3ac5nk8jdOPltiH4ckGNxnjLRmtk3OSjLrE5dsd06FZsLr6No_Zjk6TrqtHTqnRsNgTyRjZ9USGqth-UUle880f5BwEal8QP9lsRAM5hc1XrxtBltp_rJJ5sZTqdpV-8oD2KIfOrPOPOXxE-POF-lNFg-ctFpWDtT7v5PkWyOoPT971FmqfgXkqUZww' \
    --data-urlencode 'aircraft.engine.power=105hp' \
    --data-urlencode 'condition.elevation=6150ft' \
    --data-urlencode 'condition.qnh=1016hPa' \
    --data-urlencode 'condition.oat=33C' \
    --data-urlencode 'condition.dew_point=6C' \
    --data-urlencode 'strip.length=1500m' \
    --data-urlencode 'strip.slope=1%' \
    --data-urlencode 'strip.surface=gravel' \
    --data-urlencode 'loading.stations.seats=158kg' \
    --data-urlencode 'loading.stations.fuel=60L'

# As JSON.
ask "$address/v1/performance" --header 'Content-Type: application/json' --data @- <<'END'
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
  "climb": {"speed": "66 kt", "to_altitude": "9500 ft"},
  "cruise": {"power_fraction": "65 %", "reserve": "45 min"},
  "turn": {"bank": "30 deg"},
  "strip": {"name": "Example Mesa", "length": "1500 m", "slope": "1 %", "surface": "gravel"}
}
END
