#!/bin/sh
# Regenerates the C# parsers from the grammars of this folder. With --check it changes nothing and fails when the committed
# parsers are not what the grammars give. Needs Node.js with npm.
set -eu
cd "$(dirname "$0")"
committed=../src/NetAudit/Netlists/Generated
fresh=$(mktemp -d)
trap 'rm -rf "$fresh"' EXIT

if [ ! -x node_modules/.bin/antlr-ng ]; then
    npm ci --no-audit --no-fund >&2
fi

# The generator ends with 0 even when a grammar is wrong, so its words are read instead.
for grammar in CardLexer CardParser ExpressionLexer ExpressionParser; do
    node_modules/.bin/antlr-ng -Dlanguage=CSharp -l false -v false \
        -p NetAudit.Netlists.Generated --lib "$fresh" -o "$fresh" "$grammar.g4" 2>&1 | tee -a "$fresh/words.txt"
done
if grep -Eq '^(error|warning)\(' "$fresh/words.txt"; then
    echo "generate.sh: the grammars have errors" >&2
    exit 1
fi
rm -f "$fresh/words.txt" "$fresh"/*.interp "$fresh"/*.tokens

if [ "${1:-}" = --check ]; then
    diff -r "$committed" "$fresh" || {
        echo "generate.sh: run grammars/generate.sh and commit the result" >&2
        exit 1
    }
else
    mkdir -p "$committed"
    rm -f "$committed"/*.cs
    cp "$fresh"/*.cs "$committed"/
fi
