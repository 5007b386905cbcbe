#!/bin/sh
# A season at a strip: the share of hours in which it can be flown.
#
# Hours of temperature, pressure and humidity, a year of them or less, and wind where it is known:
# the share in which climb, take-off and landing hold, by month and by hour of the day, and the
# hours that limit. The weather is what you send, as columns of JSON or as a CSV or Arrow table in a
# multipart form; none is fetched. On a strip with two ways take-off and landing each take the
# better one. An hour whose weather is missing or wrong is unknown, neither good nor bad.
# working=true shows the calculation of the hour that limits most.
#
#     sh operability.sh [ADDRESS]
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
        echo "No service answers at $address: start one, or say where it is: sh operability.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}

# As JSON.
ask "$address/v1/operability" --header 'Content-Type: application/json' --data @- <<'END'
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
  "loading": {"name": "two-up", "stations": {"seats": "158 kg", "fuel": "60 L"}},
  "strip": {
    "name": "Example Mesa",
    "length": "1150 m",
    "slope": "1 %",
    "surface": "gravel",
    "elevation": "6150 ft"
  },
  "climb_rate": "300 ft/min",
  "weather": {
    "time": [
      "2025-01-15T00:00", "2025-01-15T01:00", "2025-01-15T02:00", "2025-01-15T03:00",
      "2025-01-15T04:00", "2025-01-15T05:00", "2025-01-15T06:00", "2025-01-15T07:00",
      "2025-01-15T08:00", "2025-01-15T09:00", "2025-01-15T10:00", "2025-01-15T11:00",
      "2025-01-15T12:00", "2025-01-15T13:00", "2025-01-15T14:00", "2025-01-15T15:00",
      "2025-01-15T16:00", "2025-01-15T17:00", "2025-01-15T18:00", "2025-01-15T19:00",
      "2025-01-15T20:00", "2025-01-15T21:00", "2025-01-15T22:00", "2025-01-15T23:00",
      "2025-07-15T00:00", "2025-07-15T01:00", "2025-07-15T02:00", "2025-07-15T03:00",
      "2025-07-15T04:00", "2025-07-15T05:00", "2025-07-15T06:00", "2025-07-15T07:00",
      "2025-07-15T08:00", "2025-07-15T09:00", "2025-07-15T10:00", "2025-07-15T11:00",
      "2025-07-15T12:00", "2025-07-15T13:00", "2025-07-15T14:00", "2025-07-15T15:00",
      "2025-07-15T16:00", "2025-07-15T17:00", "2025-07-15T18:00", "2025-07-15T19:00",
      "2025-07-15T20:00", "2025-07-15T21:00", "2025-07-15T22:00", "2025-07-15T23:00"
    ],
    "temperature": {
      "value": [
        -6.9, -8.1, -8.8, -9.0, -8.8, -8.1, -6.9, -5.5, -3.8, -2.0, -0.2, 1.5, 2.9, 4.1, 4.8, 5.0,
        4.8, 4.1, 2.9, 1.5, -0.2, -2.0, -3.8, -5.5, 15.1, 13.4, 12.4, 12.0, 12.4, 13.4, 15.1, 17.3,
        19.8, 22.5, 25.2, 27.8, 29.9, 31.6, 32.6, 33.0, 32.6, 31.6, 29.9, 27.8, 25.2, 22.5, 19.8,
        17.3
      ],
      "unit": "C"
    },
    "qnh": {
      "value": [
        1022.1, 1022.3, 1022.4, 1022.5, 1022.4, 1022.3, 1022.1, 1021.8, 1021.4, 1021.0, 1020.6,
        1020.2, 1019.9, 1019.7, 1019.6, 1019.5, 1019.6, 1019.7, 1019.9, 1020.2, 1020.6, 1021.0,
        1021.4, 1021.8, 1016.1, 1016.3, 1016.4, 1016.5, 1016.4, 1016.3, 1016.1, 1015.8, 1015.4,
        1015.0, 1014.6, 1014.2, 1013.9, 1013.7, 1013.6, 1013.5, 1013.6, 1013.7, 1013.9, 1014.2,
        1014.6, 1015.0, 1015.4, 1015.8
      ],
      "unit": "hPa"
    },
    "dew_point": {
      "value": [
        -11.5, -11.2, -11.0, -10.8, -10.6, null, -10.5, -10.5, -10.6, -10.8, -11.0, -11.2, -11.5,
        -11.8, -12.0, -12.2, -12.4, -12.5, -12.5, -12.5, -12.4, -12.2, -12.0, -11.8, 6.0, 6.3, 6.5,
        6.7, 6.9, 7.0, 7.0, 7.0, 6.9, 6.7, 6.5, 6.3, 6.0, 5.7, 5.5, 5.3, 5.1, 5.0, 5.0, 5.0, 5.1,
        5.3, 5.5, 5.7
      ],
      "unit": "C"
    }
  }
}
END

# With its table as CSV, beside what no column says.
shared=$(cat <<'END'
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
  "loading": {"name": "two-up", "stations": {"seats": "158 kg", "fuel": "60 L"}},
  "strip": {
    "name": "Example Mesa",
    "length": "1150 m",
    "slope": "1 %",
    "surface": "gravel",
    "elevation": "6150 ft"
  },
  "climb_rate": "300 ft/min"
}
END
)
ask "$address/v1/operability" \
    --form-string "shared=$shared" --form 'table=@-;filename=table.csv;type=text/csv' <<'END'
time,temperature [C],qnh [hPa],dew_point [C]
2025-01-15T00:00,-6.9,1022.1,-11.5
END
