# shellcheck shell=bash disable=SC2034
# Sourced by the scripts that set a machine up: the Debian packages each needs, and how they are installed.

packages_build=(build-essential cmake pkg-config libyaml-dev libfftw3-dev libcairo2-dev libpango1.0-dev libwebp-dev
    libglib2.0-dev libnlopt-dev libsdl2-dev fonts-dejavu-core fonts-sil-andika fonts-routed-gothic fonts-b612)
packages_test=(libcmocka-dev libsundials-dev xvfb xdotool parallel rsync jq)
packages_format=(clang-format)

say() {
    printf '\n== %s\n' "$*"
}

# install_missing PACKAGE...: installs those that are not there yet; asks nothing.
install_missing() {
    local package missing=()
    for package in "$@"; do
        [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || missing+=("$package")
    done
    if [ ${#missing[@]} -eq 0 ]; then
        say "Every package needed is installed."
        return
    fi
    if ! command -v apt-get >/dev/null; then
        echo "This system has no apt. Install what these Debian packages hold, then build with CMake" >&2
        echo "(see DEVELOPERS.md): ${missing[*]}" >&2
        exit 1
    fi
    local as_root=(env)
    if [ "$(id -u)" -ne 0 ]; then
        if ! command -v sudo >/dev/null; then
            echo "Not root, and sudo is not there. As root, install: ${missing[*]}" >&2
            exit 1
        fi
        as_root=(sudo env)
    fi
    say "Installing ${missing[*]}"
    as_root+=(DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=300)
    "${as_root[@]}" update </dev/null
    "${as_root[@]}" install -y --no-install-recommends "${missing[@]}" </dev/null
}
