#!/usr/bin/env bash
# Installs the Debian packages that some tests use, where that is possible:
# chromium (browser tests), poppler-utils (looking at PDF pages), postgresql
# (the store on a server) and fonts for scripts beyond Latin.  Never fails:
# tests that miss one of them skip and say so.
set -uo pipefail

missing=()
command -v chromium >/dev/null || missing+=(chromium)
command -v pdftoppm >/dev/null || missing+=(poppler-utils)
compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null || missing+=(postgresql)
[ -d /usr/share/fonts/truetype/dejavu ] || missing+=(fonts-dejavu-core)
[ -d /usr/share/fonts/truetype/noto ] || missing+=(fonts-noto-core)

[ ${#missing[@]} -eq 0 ] && exit 0

if [ "$(id -u)" -ne 0 ] || ! command -v apt-get >/dev/null; then
    echo "Tests that need ${missing[*]} will skip: installing them takes root and apt-get."
    exit 0
fi

echo "Setting up: Debian packages for the tests (${missing[*]})"
log="$(mktemp)"
export DEBIAN_FRONTEND=noninteractive
if apt-get update >"$log" 2>&1 </dev/null \
    && apt-get install -y --no-install-recommends "${missing[@]}" >>"$log" 2>&1 </dev/null; then
    rm -f "$log"
else
    tail -n 5 "$log"
    echo "Could not install ${missing[*]}; tests that need them will skip. Full log: $log"
fi
exit 0
