#!/usr/bin/env bash
# Times the whole `spoolwright measure speed` process on a 10-minute 96 kHz 24-bit stereo capture beside a plain SciPy
# pipeline on one channel of the same file. Ratios from one run count; absolute times on shared machines do not.
#   benchmarks/speed-against-scipy.sh [FOLDER]     FOLDER keeps the capture (346 MB) between runs; default: artifacts/benchmarks
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
folder=${1:-$root/artifacts/benchmarks}
python=/usr/bin/python3
"$python" -c 'import scipy.signal' 2>/dev/null || { echo "needs Debian's python3-scipy"; exit 1; }
[[ -x /usr/bin/time ]] || { echo "needs Debian's time"; exit 1; }
mkdir -p "$folder"
capture=$folder/speed-10-minutes.wav
[[ -f $capture ]] || "$python" "$root/benchmarks/speed-against-scipy.py" make "$capture"
"$root/spoolwright" --version >/dev/null
cat "$capture" >/dev/null   # both read from the page cache

best() { # runs a command three times; prints the shortest time in seconds and the largest memory in MB
    local shortest=999 largest=0 line seconds kilobytes
    for _ in 1 2 3; do
        line=$( { /usr/bin/time -f '%e %M' "$@" >/dev/null; } 2>&1 | tail -1 )
        seconds=${line% *}
        kilobytes=${line#* }
        shortest=$(awk "BEGIN{print ($seconds<$shortest)?$seconds:$shortest}")
        largest=$((kilobytes > largest ? kilobytes : largest))
    done
    echo "$shortest $((largest / 1024))"
}
read -r ours memory < <(best "$root/spoolwright" measure speed "$capture" --json)
read -r start _ < <(best "$root/spoolwright" --help)
export MALLOC_MMAP_THRESHOLD_=4294967296 MALLOC_TRIM_THRESHOLD_=4294967296 MALLOC_TOP_PAD_=1073741824
"$python" "$root/benchmarks/speed-against-scipy.py" measure "$capture"
read -r theirs their_memory < <(best "$python" "$root/benchmarks/speed-against-scipy.py" measure "$capture")
echo "spoolwright, whole process, both channels: $ours s, $memory MB"
echo "scipy, whole process, one channel:         $theirs s, $their_memory MB"
awk "BEGIN{printf \"ratio: %.1f\n\", $theirs/$ours}"
echo "spoolwright --help: $start s"
