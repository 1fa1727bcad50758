# Sourced by bin/samescale and bin/check: puts the packages of the lock file in place, once.
#   install_packages run|all     run: what the commands need; all: also what the checks need
# The stamp holds the lock file's checksum and is written last, so that a killed install is seen and repeated.

samescale_stamp="$root/node_modules/.samescale-installed"

fail() {
  printf 'samescale: %s\n  %s\n' "$1" "$2" >&2
  exit 1
}

is_installed() {
  [ -f "$samescale_stamp" ] || return 1
  read -r have_mode have_lock < "$samescale_stamp" || return 1
  [ "$have_lock" = "$(cksum < "$root/package-lock.json" | tr ' ' '-')" ] || return 1
  [ "$have_mode" = all ] || [ "$1" = run ]
}

install_packages() {
  is_installed "$1" && return 0
  command -v npm > /dev/null 2>&1 ||
    fail "npm was not found, it brings the packages on first use." "Install Node.js 18 or later with npm, then run the same command again."
  # Two first runs at once would tear down each other's folder: the second waits for the first.
  lock="$root/.installing"
  waited=0
  until mkdir "$lock" 2> /dev/null; do
    if ! kill -0 "$(cat "$lock/pid" 2> /dev/null || echo 0)" 2> /dev/null && [ "$waited" -gt 2 ]; then
      rm -rf "$lock"
    fi
    [ "$waited" -eq 0 ] && printf 'samescale: another run is installing the packages, waiting for it\n' >&2
    [ "$waited" -lt 900 ] || fail "Another install has not ended in 15 minutes." "If none is running, remove the folder $lock."
    sleep 1
    waited=$((waited + 1))
    is_installed "$1" && return 0
  done
  echo $$ > "$lock/pid"
  trap 'rm -rf "$lock"' EXIT
  trap 'exit 130' INT TERM
  # Never take the checks' tools away from a folder that had them.
  mode=$1
  [ -e "$root/node_modules/.bin/biome" ] && mode=all
  omit=--omit=dev
  [ "$mode" = all ] && omit=--include=dev
  # A folder that is only behind the lock file is brought up to it, not torn down under whoever is using it.
  how=ci
  [ -e "$root/node_modules/.package-lock.json" ] && how=install
  printf 'samescale: bringing the packages (about half a minute on first use)\n' >&2
  (cd "$root" && npm "$how" $omit --no-audit --no-fund --loglevel=error >&2) ||
    fail "The packages could not be installed." "See npm's message above; check the network or the registry setting, then run the same command again."
  "$root/node_modules/node/bin/node" -v > /dev/null 2>&1 || has_node_24 ||
    fail "The Node 24 that npm brings does not start." "Run 'npm rebuild node' in $root, or install Node 24 or later."
  printf '%s %s\n' "$mode" "$(cksum < "$root/package-lock.json" | tr ' ' '-')" > "$samescale_stamp"
  rm -rf "$lock"
  trap - EXIT INT TERM
}

has_node_24() {
  case "$(node -v 2> /dev/null)" in
    v2[4-9].* | v[3-9][0-9].* | v[1-9][0-9][0-9].*) return 0 ;;
  esac
  return 1
}

# The system's Node when it is 24 or later, else the one that npm brings.
choose_node() {
  if has_node_24; then node=node; else node="$root/node_modules/node/bin/node"; fi
}
