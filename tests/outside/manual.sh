#!/usr/bin/env bash
# The manual page, read by a formatter that is not ours: no warning, and no page
# named that does not exist. Usage: manual.sh PROGRAM
set -euo pipefail
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
# The formatter takes an ending for the section.
page=$folder/matchmark.1
"$1" manual > "$page"
mandoc -T lint -W warning "$page"
if mandoc -T utf8 "$page" | col -b | grep -E '[a-z]\([1-9]\)' | grep -v '^MATCHMARK(1)\|MATCHMARK(1)$'; then
    echo "another page is named" >&2
    exit 1
fi
echo "$(grep -c '^\.SS' "$page") verbs, no warning"
