#!/usr/bin/env bash
# Made tests/Spoolwright.Bench.Tests/Tones/announcement.wav once (Debian: espeak-ng, sox). The tests read the file, not this script.
set -euo pipefail
out=$(dirname "$0")/../Spoolwright.Bench.Tests/Tones/announcement.wav
espeak-ng -v en -s 140 -w /tmp/said.wav "Reference level. One thousand hertz. Adjust azimuth. Ten kilohertz, minus ten decibels. Forty hertz. Sixty three."
sox /tmp/said.wav -r 16000 -b 16 -c 1 -R --norm=-3 "$out" trim 0 8
rm /tmp/said.wav
