# shellcheck shell=bash
# Shared by everything in scripts/. Source it; it changes into the root of the repository.
#
#   RUNDLET_BUILD_ROOT  where the build folders lie (default: build/ in the repository)
#   RUNDLET_JOBS        how many compilers or tests run at a time (default: one a processor)

set -euo pipefail

RUNDLET_SCRIPT=$(realpath "$0")
RUNDLET_ROOT=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
RUNDLET_BUILD_ROOT=$(realpath -m "${RUNDLET_BUILD_ROOT:-$RUNDLET_ROOT/build}")
RUNDLET_JOBS=${RUNDLET_JOBS:-$(nproc)}
cd "$RUNDLET_ROOT"

# Ninja's own progress, with the seconds since it started.
export NINJA_STATUS="[%f/%t %es] "

# fail MESSAGE...: says what went wrong and ends the script.
fail() {
  printf 'error: %s\n' "$*" >&2
  exit 1
}

note() {
  printf '%s\n' "$*"
}

# usage: prints the comment at the head of the calling script, which is its manual.
usage() {
  sed -n '2,/^$/ { s/^# \{0,1\}//; p; }' "$RUNDLET_SCRIPT"
}

# usage_error MESSAGE...: an option or argument that we cannot take. Exit status 2.
usage_error() {
  printf 'error: %s\n\n' "$*" >&2
  usage >&2
  exit 2
}

# step TITLE COMMAND...: runs the command between two lines that say what happens and how long it took; ends the script
# when it fails. The shell ignores `set -e` inside the command, so a function given here must chain with && itself.
step() {
  local title=$1 start=$SECONDS status=0
  shift
  note "==> $title"
  "$@" || status=$?
  ((status == 0)) || fail "$title: '$1' ended with status $status after $((SECONDS - start)) s"
  note "    $title: done in $((SECONDS - start)) s"
}

# as_root COMMAND...: runs the command as root, through sudo where we are somebody else.
as_root() {
  if ((EUID == 0)); then
    "$@"
  elif command -v sudo >/dev/null; then
    sudo -- "$@"
  else
    fail "'$*' must run as root, and there is no sudo here. Run it as root, then call this again."
  fi
}

build_dir() {
  printf '%s/%s' "$RUNDLET_BUILD_ROOT" "$1"
}

# configure PRESET [CMAKE OPTION...]: once a folder. Later changes of CMake files are seen by Ninja itself, those of the
# presets here.
configure() {
  local preset=$1 dir
  dir=$(build_dir "$preset")
  shift
  [[ -f CMakePresets.json ]] || fail "there is no CMakePresets.json in $RUNDLET_ROOT"
  if [[ ! -f $dir/build.ninja || CMakePresets.json -nt $dir/build.ninja ]]; then
    step "Configuring $preset" cmake --preset "$preset" -B "$dir" "$@"
  fi
}

# build PRESET [TARGET...]: sets up, configures and builds the targets (all of them when none is named).
build() {
  local preset=$1
  shift
  "$RUNDLET_ROOT/scripts/setup"
  configure "$preset"
  step "Building $preset${*:+: $*}" ninja -C "$(build_dir "$preset")" -j "$RUNDLET_JOBS" "$@"
}
