# Sourced by app/start.sh and tests/run.sh: installs what packages-debian12.txt lists.
# install_packages KIND...   e.g. install_packages build test
install_packages() {
    local here list kinds missing=() name runner=()
    here="$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)"
    list="$here/packages-debian12.txt"
    if ! command -v apt-get >/dev/null 2>&1; then
        echo "No apt-get on this machine: the packages must already be there (README.md, 'Without Debian')."
        return 0
    fi
    kinds="$(IFS='|'; echo "$*")"
    while read -r name; do
        dpkg-query -W -f='${Status}' "$name" 2>/dev/null | grep -q '^install ok installed$' || missing+=("$name")
    done < <(sed -nE "s/^($kinds): *([^ #]+).*/\2/p" "$list")
    if [ "${#missing[@]}" -eq 0 ]; then
        echo "Packages: all there."
        return 0
    fi
    if [ "$(id -u)" -ne 0 ]; then
        if ! command -v sudo >/dev/null 2>&1; then
            echo "These packages are missing and neither root nor sudo is at hand: ${missing[*]}" >&2
            echo "Ask an administrator to run: apt-get install ${missing[*]}" >&2
            return 1
        fi
        runner=(sudo)
    fi
    echo "Packages: installing ${missing[*]}"
    if ! "${runner[@]}" apt-get update -qq; then
        echo "The package mirror did not answer (apt-get update failed). Check the network or /etc/apt, then run this again." >&2
        return 1
    fi
    if ! "${runner[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null; then
        echo "The package mirror did not deliver: ${missing[*]}" >&2
        echo "Check the network, or install them by hand, then run this again." >&2
        return 1
    fi
}
