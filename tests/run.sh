#!/bin/sh
# Builds everything with its tests and runs them; ends with ctest's summary and its exit status.
#   sh tests/run.sh          warnings are errors
#   sh tests/run.sh asan     the same under the address and undefined-behaviour sanitizers
set -eu
cd "$(dirname "$0")/.."
preset=${1:-dev}

sh .ci/install.sh run test
command -v npm >/dev/null || sh .ci/install.sh browser
npm ci --prefix tests/browser --no-audit --no-fund
cmake --preset "$preset"
cmake --build --preset "$preset" -j"$(nproc)"
exec ctest --preset "$preset" -j"$(nproc)"
