#!/bin/sh
# Installs the library from a build folder and builds the manual's example against it, twice: with CMake's package and
# with pkg-config.  run.sh SOURCE_FOLDER BUILD_FOLDER WORK_FOLDER
set -eu
source=$1
build=$2
work=$3
rm -rf "$work"
mkdir -p "$work/consumer"
cmake --install "$build" --prefix "$work/prefix" >"$work/install.log"
cp "$source/tests/consumer/CMakeLists.txt" "$work/consumer/"
# The first block of C++ in the manual.
awk '/^```cpp$/ { on = 1; next } /^```$/ { if (on) exit } on' "$source/docs/library.md" >"$work/consumer/main.cpp"
test "$(wc -l <"$work/consumer/main.cpp")" -ge 20

cmake -S "$work/consumer" -B "$work/build" -DCMAKE_PREFIX_PATH="$work/prefix" >"$work/configure.log"
cmake --build "$work/build" >"$work/build.log"
"$work/build/consumer" | tee "$work/by-cmake"
grep -q '^Pop-up: ' "$work/by-cmake"

# None of our own flags, but the language.
if grep -o '"command": .*' "$work/build/compile_commands.json" | grep -e '-W[a-z]'; then
    echo "warning flags reach the consumer" >&2
    exit 1
fi
grep -q 'std=gnu++20\|std=c++20' "$work/build/compile_commands.json"

# What is installed is whole: every header, with nothing but the installed ones beside it.
(cd "$work/prefix/include" && find trenchwright -name '*.hpp' | sort | sed 's/.*/#include <&>/') >"$work/all.cpp"
c++ -std=c++20 -fsyntax-only -I"$work/prefix/include" "$work/all.cpp"

libs=$(dirname "$(find "$work/prefix" -name trenchwright.pc)")
export PKG_CONFIG_PATH="$libs"
# shellcheck disable=SC2046 # words of a command line
c++ -std=c++20 $(pkg-config --cflags trenchwright) "$work/consumer/main.cpp" -o "$work/by_pkg_config" \
    $(pkg-config --libs trenchwright)
"$work/by_pkg_config" >"$work/by-pkg-config"
cmp "$work/by-cmake" "$work/by-pkg-config"
"$work/prefix/bin/trenchwright" --version
