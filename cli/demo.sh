#!/bin/sh
# Builds trenchwright and plans the demo lot. On Debian 12, with nothing but git there:  sh cli/demo.sh
set -eu
cd "$(dirname "$0")/.."

sh .ci/install.sh run
cmake --preset release -B build/demo -DTRENCHWRIGHT_TESTS=OFF
cmake --build build/demo -j"$(nproc)" --target trenchwright_program
build/demo/cli/trenchwright plan testdata/quillet-lane/job.toml --out out/demo

echo
echo "The lot is invented. What was written:"
for file in out/demo/*; do
    echo "  $PWD/$file"
done
