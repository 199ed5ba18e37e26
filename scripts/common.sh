# Shared by the scripts: where the project is, and what must be installed. To be sourced.
set -euo pipefail
top=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)

# What building and running need, by Debian 12 package names; doc/dependencies.md gives the reasons.
build_packages=(
    gcc libc6-dev meson ninja-build pkg-config
    libyaml-dev libjansson-dev libxml2-dev
    libmupdf-dev libmujs-dev libgumbo-dev libopenjp2-7-dev libjbig2dec0-dev libjpeg-dev libfreetype-dev
    libharfbuzz-dev zlib1g-dev libtiff-dev libdeflate-dev libzstd-dev libpng-dev liblcms2-dev
    libpango1.0-dev libcairo2-dev libfontconfig-dev libqrencode-dev libsqlite3-dev
    libmicrohttpd-dev libsodium-dev libgeos-dev
    libcmocka-dev
    ghostscript fonts-dejavu-core tzdata
)
# What only the tests need: other readers of the same formats, as judges.
test_packages=(qpdf openssl poppler-utils liblcms2-utils libvips-tools imagemagick librsvg2-bin libxml2-utils libtiff-tools
    zbar-tools glpk-utils minisat sqlite3 git clang clang-format clang-tidy python3 python3-numpy python3-yaml python3-pyclipper python3-ezdxf fontconfig)

# The page is judged in a browser; node and Chromium of another source than Debian's serve as well.
command -v chromium >/dev/null || test_packages+=(chromium)
{ command -v node && command -v npm; } >/dev/null || test_packages+=(nodejs npm)

say() { printf '\n== %s\n' "$*"; }

# Installs those of the named packages that are missing; quick and silent when none is.
install_missing() {
    local missing=() name log
    for name in "$@"; do
        dpkg-query -W -f '${Status}\n' "$name" 2>/dev/null | grep -q 'ok installed' || missing+=("$name")
    done
    [ ${#missing[@]} -eq 0 ] && return 0
    say "Installing ${#missing[@]} Debian packages: ${missing[*]}"
    local as_root=()
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || { echo "These packages are missing, and installing them needs root or sudo." >&2; exit 3; }
        as_root=(sudo)
    fi
    log=$(mktemp)
    # Somebody else may be installing: that is waited for, ten minutes at most.
    local patient=(-o DPkg::Lock::Timeout=600)
    if ! { "${as_root[@]}" apt-get "${patient[@]}" update -q && "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
            apt-get "${patient[@]}" install -y -q --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
        echo "apt-get could not install them. Its words:" >&2
        tail -n 40 "$log" >&2
        rm -f "$log"
        exit 3
    fi
    rm -f "$log"
}

# What drives the browser, as tests/browser/package-lock.json names it.
fetch_browser_modules() {
    local folder=$top/tests/browser log
    [ "$folder/node_modules/.package-lock.json" -nt "$folder/package-lock.json" ] && return 0
    say "Fetching what the browser tests need"
    log=$(mktemp)
    if ! (cd "$folder" && npm ci --ignore-scripts --no-audit --no-fund) >"$log" 2>&1; then
        echo "npm could not fetch them; the browser tests will be skipped. Its words:" >&2
        tail -n 10 "$log" >&2
    fi
    rm -f "$log"
}

# Sets up a build folder below $top with meson options, once.
set_up() {
    local folder=$1
    shift
    [ -f "$top/$folder/build.ninja" ] && return 0
    say "Setting up $folder"
    rm -rf "${top:?}/$folder"
    local log
    log=$(mktemp)
    if ! meson setup "$top/$folder" "$top" "$@" >"$log" 2>&1; then
        tail -n 30 "$log" >&2
        rm -f "$log"
        exit 3
    fi
    rm -f "$log"
}

# Builds a folder that was set up: the named targets, or all.
build() {
    local folder=$1
    shift
    say "Building $folder"
    ninja -C "$top/$folder" --quiet "$@"
}
