# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
# Shared by ./run, ./test and ./bench: install what is missing, build one preset. Needs $root.

# A tool that reads the terminal must not hang or fail because there is none.
if ! { true <&0; } 2>/dev/null; then exec </dev/null; fi

# is_there PACKAGE: not as Debian's package, and yet at hand. Node from elsewhere brings npm with it
# and forbids Debian's npm beside it.
is_there() {
  local version
  [[ $1 == nodejs || $1 == npm ]] && command -v node >/dev/null && command -v npm >/dev/null &&
    version=$(node --version 2>/dev/null) && [[ $version =~ ^v([0-9]+)\. ]] &&
    ((BASH_REMATCH[1] >= 18))
}

# install_missing LIST...: the packages of packages/LIST.txt. Ends the script with 2 if it cannot.
install_missing() {
  local wanted installed package missing=() as_root=() name=unknown
  local lists=("${@/#/$root/packages/}")
  wanted=$(cat "${lists[@]/%/.txt}")
  # shellcheck disable=SC1091
  name=$(. /etc/os-release 2>/dev/null && echo "${ID:-}:${VERSION_ID:-}:${PRETTY_NAME:-}") || true
  if [[ $name != debian:12:* ]]; then
    {
      echo "This script knows Debian 12 only; this system is ${name##*:}."
      echo "Install these, or their like (names of Debian 12):"
      echo "  ${wanted//$'\n'/ }"
      echo "then: npm --prefix web ci && npm --prefix web run build"
      echo "then: cmake --preset release && cmake --build --preset release"
    } >&2
    exit 2
  fi
  # shellcheck disable=SC2086
  installed=$(dpkg-query -W -f='${db:Status-Abbrev}${Package}.' $wanted 2>/dev/null) || true
  for package in $wanted; do
    [[ .$installed == *".ii $package."* ]] || is_there "$package" || missing+=("$package")
  done
  if ((${#missing[@]} == 0)); then return; fi

  if ((EUID != 0)); then
    if ! command -v sudo >/dev/null; then
      echo "Missing, and neither root nor sudo is at hand: apt-get install ${missing[*]}" >&2
      exit 2
    fi
    as_root=(sudo)
  fi
  echo "Installing: ${missing[*]}" >&2
  quietly "${as_root[@]}" apt-get update || exit 2
  quietly "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get install -y --no-install-recommends "${missing[@]}" || exit 2
}

# quietly COMMAND...: its output is shown only if it fails.
quietly() {
  local log status=0
  log=$(mktemp)
  "$@" </dev/null >"$log" 2>&1 || status=$?
  if ((status != 0)); then cat "$log" >&2; fi
  rm -f "$log"
  return "$status"
}

# install_web: what the page's tools need, anew when the list of them or node has changed.
install_web() {
  local modules=$root/web/node_modules sum
  sum=$(sha256sum <"$root/web/package-lock.json")$(node --version)
  if [[ $(cat "$modules/.lock-sum" 2>/dev/null) == "$sum" ]]; then return; fi
  (cd "$root/web" && quietly npm ci --no-audit --no-fund) && echo "$sum" >"$modules/.lock-sum"
}

# build_page: the page that becomes part of the program, when what it is made of is newer.
build_page() {
  (
    cd "$root/web" && flock 9
    if [[ -e ../build/page/index.html && -z $(find src public index.html vite.config.ts package.json \
      package-lock.json -newer ../build/page/index.html -print -quit) ]]; then return; fi
    install_web && quietly npm run build
  ) 9>"$root/build/page.lock"
}

# build PRESET [TARGET...]: output only on failure; one moving line if standard error is a terminal.
build() {
  mkdir -p "$root/build"
  build_page || return
  (
    flock 9
    configure_and_build "$@"
  ) 9>"$root/build/$1.lock"
}

configure_and_build() {
  local preset=$1 folder=$root/build/$1 shown=/dev/null status=0 line target=()
  shift
  if (($# > 0)); then target=(--target "$@"); fi
  cd "$root" || return
  if [[ ! -e $folder/build.ninja || CMakePresets.json -nt $folder/build.ninja ]] ||
    ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$root" "$folder/CMakeCache.txt"; then
    quietly cmake --fresh --preset "$preset" 9>&- || return
  fi
  if [[ -t 2 ]]; then shown=/dev/stderr; fi
  cmake --build --preset "$preset" "${target[@]}" -j "$(nproc)" </dev/null 2>&1 9>&- | tee "$folder/build.log" |
    while read -r line; do
      if [[ $line == \[* ]]; then printf '\r\033[KBuilding %s]' "${line%%]*}"; fi
    done >"$shown" || status=$?
  printf '\r\033[K' >"$shown"
  if ((status != 0)); then cat "$folder/build.log" >&2; fi
  return "$status"
}
