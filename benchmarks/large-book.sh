#!/usr/bin/env bash
# Times at the server every page and every kind of search with a book of 5,000 jobs with 500,000 readings, made by a seeded generator through the program's own calls (some minutes; it is kept). The program itself serves it, as ./spoolwright builds it.
#   benchmarks/large-book.sh [BOOK [JOBS]]     default: artifacts/benchmarks/large-book/book.db 5000; BOOK may be postgres://USER@HOST/DATABASE
# Prints median and worst time of each question; ends with 1 where a median is above 200 ms. Counts on a quiet machine only.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
book=${1:-$root/artifacts/benchmarks/large-book/book.db}
"$root/spoolwright" --version >&2
dotnet build "$root/benchmarks/Spoolwright.Benchmarks" -c Release -v quiet -nologo >&2
exec dotnet "$root/benchmarks/Spoolwright.Benchmarks/bin/Release/net10.0/Spoolwright.Benchmarks.dll" book "$book" "${2:-5000}" "$root/examples/deck-profile.json" "$root/artifacts/app/spoolwright.dll"
