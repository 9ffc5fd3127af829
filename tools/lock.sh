#!/usr/bin/env bash
# Writes requirements.lock: every package pinned with hashes, for every platform
# and Python we support, and without a word about where packages come from.
set -euo pipefail
cd "$(dirname "$0")/.."
python="${PYTHON:-.venv/bin/python}"

"$python" -m pip install --quiet uv
draft="$(mktemp)"
trap 'rm -f "$draft"' EXIT
cp requirements.lock "$draft" 2>/dev/null || true   # keep pins that still fit
"$python" -m uv pip compile --quiet --universal --python-version 3.11 --generate-hashes \
    --no-emit-index-url --no-emit-find-links --no-header --no-annotate "$@" \
    pyproject.toml --extra photos --group dev --output-file "$draft"
if grep -nE '[a-z]+://|^-' "$draft"; then
    echo "lock: the lines above name an address; nothing written" >&2
    exit 1
fi
{
    echo "# Written by 'make lock'. Python 3.11 and later; Linux, macOS, Windows."
    cat "$draft"
} > requirements.lock.part
mv requirements.lock.part requirements.lock
