#!/usr/bin/env bash
# Measures the whole matrix of a deck with six heads: 2 directions x 2 speeds x 2 tape settings, every measurement of sound, about an hour of captures at 96 kHz,
# in one process on two cores. The practice deck makes the captures first (some minutes, 2 GB); they are kept.
#   benchmarks/whole-matrix.sh [FOLDER [KIND ...]]     default: artifacts/benchmarks/matrix, every kind of capture
# Prints CPU seconds a minute of sound by measurement, then the time of it all. Time counts on a quiet machine only; the aim is a minute.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
folder=${1:-$root/artifacts/benchmarks/matrix}
dotnet build "$root/benchmarks/Spoolwright.Benchmarks" -c Release -v quiet -nologo >&2
exec dotnet "$root/benchmarks/Spoolwright.Benchmarks/bin/Release/net10.0/Spoolwright.Benchmarks.dll" matrix "$folder" "${@:2}"
