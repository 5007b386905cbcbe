#!/bin/sh
# Before and after a change.
#
# Every measure before and after each option, and its change, for each loading and condition; cost
# and cost per gain. An option that breaks a limit is answered in full and says so first.
#
#     sh comparison.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh comparison.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# As JSON.
ask "$address/v1/comparison" --header 'Content-Type: application/json' --data @- <<'END'
{
  "baseline": {
    "name": "Example A, an invented two-seat high wing",
    "wing": {"area": "14.6 m2", "span": "10.2 m", "chord": "1.43 m", "leading_edge_arm": "0.05 m"},
    "scales": [
      {"name": "left main", "weight": "150.5 kg", "tare": "1.0 kg", "arm": "0.15 m"},
      {"name": "right main", "weight": "152.0 kg", "tare": "1.0 kg", "arm": "0.15 m"},
      {"name": "tail", "weight": "22.0 kg", "tare": "0.5 kg", "arm": "4.62 m"}
    ],
    "items": [{"name": "oil", "weight": "3.6 kg", "arm": "-0.78 m"}],
    "limits": {
      "maximum_weight": "590 kg",
      "forward": "0.34 m",
      "aft": "0.60 m",
      "load_factor": "3.8",
      "load_factor_weight": "560 kg"
    },
    "stations": [
      {"name": "pilot", "arm": "0.52 m", "minimum": "58 kg", "capacity": "110 kg"},
      {"name": "passenger", "arm": "0.52 m", "capacity": "110 kg"},
      {"name": "baggage", "arm": "1.20 m", "capacity": "15 kg"},
      {
        "name": "fuel",
        "arm": "0.66 m",
        "capacity": "70 L",
        "density": "0.72 kg/L",
        "unusable": "2 L"
      }
    ],
    "engine": {"power": "85 hp", "speed": "2575 rpm", "lapse_constant": "0.117", "power_margin": "0.90"},
    "propeller": {
      "kind": "fixed-pitch",
      "diameter": "1.80 m",
      "best_efficiency": {"value": 0.72, "plus_minus": 0.02},
      "best_efficiency_speed": "80 kt",
      "static_speed": "2300 rpm"
    },
    "drag": {"parasite_area": {"value": 0.68, "unit": "m2", "plus_minus": 0.06}, "span_efficiency": "0.75"},
    "stalls": [
      {"configuration": "clean", "speed": "38 kt", "weight": "520 kg", "arm": "0.47 m"},
      {"configuration": "full flap", "speed": "34 kt", "weight": "520 kg", "arm": "0.47 m"}
    ],
    "tail_arm": "4.1 m",
    "speed_limits": {"never_exceed": "108 kt", "smooth_air": "88 kt", "flaps": "62 kt"}
  },
  "options": [
    {
      "name": "geared 112 hp engine",
      "changes": [
        {
          "kind": "engine",
          "name": "engine, mount and cooling",
          "group": "engine and propeller",
          "engine": {
            "power": "112 hp",
            "speed": "5500 rpm",
            "reduction": "2.43",
            "lapse_constant": "0.117",
            "power_margin": "0.95",
            "power_limit": "115 hp"
          },
          "removed": {"weight": "92 kg", "arm": "-0.71 m"},
          "fitted": {"weight": "84 kg", "arm": "-0.78 m"},
          "cost": "13400 EUR"
        },
        {
          "kind": "propeller",
          "name": "propeller",
          "group": "engine and propeller",
          "propeller": {
            "kind": "fixed-pitch",
            "diameter": "1.75 m",
            "best_efficiency": {"value": 0.7, "plus_minus": 0.03},
            "best_efficiency_speed": "78 kt",
            "static_speed": "5100 rpm"
          },
          "removed": {"weight": "11.5 kg", "arm": "-1.15 m"},
          "fitted": {"weight": "7.5 kg", "arm": "-1.22 m"},
          "cost": "1650 EUR"
        },
        {
          "kind": "add",
          "name": "radiator and coolant",
          "weight": "7 kg",
          "arm": "-0.35 m",
          "cost": "420 EUR"
        },
        {"kind": "remove", "name": "old gauges", "weight": "6.4 kg", "arm": "0.12 m"},
        {
          "kind": "add",
          "name": "new panel",
          "weight": "2.7 kg",
          "arm": "0.12 m",
          "cost": "1900 EUR"
        },
        {"kind": "drag", "name": "radiator drag", "parasite_area_change": "0.02 m2"},
        {
          "kind": "lift",
          "name": "vortex generators",
          "maximum_lift_gain": {"value": 9, "unit": "%", "plus_minus": 5},
          "cost": "260 EUR"
        }
      ]
    }
  ],
  "loadings": [
    {
      "name": "solo",
      "stations": {"pilot": "84 kg", "passenger": "0 kg", "baggage": "5 kg", "fuel": "40 L"}
    },
    {
      "name": "two-up",
      "stations": {"pilot": "84 kg", "passenger": "71 kg", "baggage": "5 kg", "fuel": "60 L"}
    }
  ],
  "conditions": [
    {
      "name": "cool morning at Example Mesa",
      "elevation": "6150 ft",
      "qnh": "1021 hPa",
      "oat": "11 C",
      "dew_point": "4 C",
      "headwind": "0 kt"
    },
    {
      "name": "summer noon at Example Mesa",
      "elevation": "6150 ft",
      "qnh": "1016 hPa",
      "oat": "33 C",
      "dew_point": "6 C",
      "headwind": "6 kt"
    }
  ]
}
END
