#!/bin/sh
# Makes ink.woff2 and print.woff2 (28 kB together), and ink-more.woff2 and print-more.woff2 with the letters of the eastern Baltic and
# beyond, which a browser asks for only where a page has one of them: subsets of Atkinson Hyperlegible Next and Besley, both SIL OFL 1.1 without a
# reserved name. Needs Debian's fonttools and python3-brotli, and in the working folder, for this once:
#   npm install @fontsource-variable/atkinson-hyperlegible-next @fontsource-variable/besley
set -e
OUT=$(dirname "$0")
A=node_modules/@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2
B=node_modules/@fontsource-variable/besley/files/besley-latin-wght-normal.woff2
PY=/usr/bin/python3
T=$(mktemp -d)
$PY -m fontTools.varLib.instancer $A wght=400:700 -o $T/a.ttf -q
$PY -m fontTools.varLib.instancer $B wght=560 -o $T/b.ttf -q
UA="U+0020-007E,U+00A0,U+00B0-00B3,U+00B7,U+00BC-00BE,U+00D7,U+00C0,U+00C4-00C9,U+00D1,U+00D3,U+00D6,U+00D8,U+00DC,U+00DF-00E9,U+00EA-00EF,U+00F1-00F6,U+00F8-00FC,U+2009,U+2012-2014,U+2018-2019,U+201C-201D,U+2026,U+2212"
UB="U+0020-007E,U+00A0,U+00C4-00C6,U+00C9,U+00D6,U+00D8,U+00DC,U+00DF,U+00E0,U+00E5,U+00E6,U+00E8,U+00E9,U+00EC,U+00F2,U+00F6,U+00F8,U+00F9,U+00E4,U+00FC,U+2009,U+2013,U+2019,U+2026"
$PY -m fontTools.subset $T/a.ttf --unicodes=$UA --layout-features=tnum,kern,mark,ccmp --no-hinting --flavor=woff2 --output-file=$OUT/ink.woff2
$PY -m fontTools.subset $T/b.ttf --unicodes=$UB --layout-features=tnum,kern --no-hinting --flavor=woff2 --output-file=$OUT/print.woff2
EXT="U+0100-017F,U+0218-021B"
AX=$(echo $A | sed s/latin-wght/latin-ext-wght/)
BX=$(echo $B | sed s/latin-wght/latin-ext-wght/)
$PY -m fontTools.varLib.instancer $AX wght=400:700 -o $T/ax.ttf -q
$PY -m fontTools.varLib.instancer $BX wght=560 -o $T/bx.ttf -q
$PY -m fontTools.subset $T/ax.ttf --unicodes=$EXT --layout-features=kern,mark,ccmp --no-hinting --flavor=woff2 --output-file=$OUT/ink-more.woff2
$PY -m fontTools.subset $T/bx.ttf --unicodes=$EXT --layout-features=kern --no-hinting --flavor=woff2 --output-file=$OUT/print-more.woff2
# the narrow no-break space of the thousands, which neither font has
$PY - "$OUT" <<'P'
import sys
from fontTools.ttLib import TTFont
for name, width in (('ink', 190), ('print', 360)):
    f = TTFont(f'{sys.argv[1]}/{name}.woff2'); g = f.getBestCmap()[0x2009]
    for t in f['cmap'].tables:
        if 0x2009 in t.cmap: t.cmap[0x202F] = g
    f['hmtx'][g] = (width, 0); f.flavor = 'woff2'; f.save(f'{sys.argv[1]}/{name}.woff2')
P
