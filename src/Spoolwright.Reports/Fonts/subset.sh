#!/bin/sh
# Makes record-regular.ttf and record-bold.ttf from the Debian package named in README.md.
# usage: ./subset.sh   (needs apt-get, dpkg-deb, and Debian's fonttools)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
apt-get download fonts-lato
dpkg-deb -x fonts-lato_*.deb tree
letters=U+0020-007E,U+00A0-017F,U+0218-021B,U+0370-03FF
marks=U+2010-2015,U+2018-201E,U+2020-2022,U+2026,U+2030,U+2032,U+2033,U+2039,U+203A,U+2044,U+2070-209C,U+20AC,U+2126,U+2190-2193,U+2202,U+2206,U+2211,U+2212,U+221A,U+221E,U+2248,U+2260,U+2264,U+2265
for weight in Regular Bold; do
    lower=$(printf '%s' "$weight" | tr '[:upper:]' '[:lower:]')
    pyftsubset "tree/usr/share/fonts/truetype/lato/Lato-$weight.ttf" --unicodes="$letters,$marks" \
        --layout-features=mark --no-hinting --output-file="$work/$lower.ttf"
    /usr/bin/python3 - "$work/$lower.ttf" "$here/record-$lower.ttf" "$weight" <<'PY'
import sys
from fontTools.ttLib import TTFont
source, target, weight = sys.argv[1:]
font = TTFont(source, recalcTimestamp=False)
# A family name of its own, so that a reader's machine never mixes it with a whole font that is installed there.
names = {1: 'Spoolwright Record', 2: weight, 3: f'Spoolwright Record {weight} subset', 4: f'Spoolwright Record {weight}', 6: f'SpoolwrightRecord-{weight}'}
for name_id, text in names.items():
    font['name'].setName(text, name_id, 3, 1, 0x409)
for name_id in (16, 17, 21, 22, 25):
    font['name'].removeNames(nameID=name_id)
cmap = font.getBestCmap()
missing = [hex(c) for c in (0xB1, 0xB5, 0xB7, 0xB0, 0x2013, 0x2014, 0x2032, 0x2033, 0x2212, 0x2264, 0x2265, 0x3C0, 0x2026, 0x2192) if c not in cmap]
widths = {font['hmtx'][cmap[ord(d)]][0] for d in '0123456789'}
assert len(widths) == 1, f'figures are not tabular: {widths}'
print(weight, len(cmap), 'characters; wanted and not there:', missing)
font.save(target)
PY
done
