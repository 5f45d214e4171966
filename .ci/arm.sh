#!/usr/bin/env bash
# The same weld must give the same verdict on every processor, byte for byte:
# amd64 with and without fused multiply-add (GOAMD64 v3 and v1), and arm64, which
# fuses wherever it may, under qemu.
#     .ci/arm.sh [SCENARIO...]
set -euo pipefail
cd "$(dirname "$0")/.."

scenarios=("$@")
[ ${#scenarios[@]} -gt 0 ] || scenarios=(B-01 T-01 C-01 L-01 E-02 P-02 S-02)
case=trainer/verify/cases/P3.yaml
live=trainer/arc/testdata/happens.json # a hand's run, cut short, with a draught, dirt, a stuck rod and a touch

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

emulator() {
	command -v qemu-aarch64-static || command -v qemu-aarch64
}
if ! emulator >/dev/null; then
	apt-get update -q >&2
	apt-get install -qy --no-install-recommends qemu-user-static >&2 ||
		apt-get install -qy --no-install-recommends qemu-user >&2
fi
arm=$(emulator)

build() { # NAME, and variables of the build
	env CGO_ENABLED=0 GOOS=linux "${@:2}" go build -o "$work/$1" ./cmd/puddlewise
}
build v1 GOARCH=amd64 GOAMD64=v1
build v3 GOARCH=amd64 GOAMD64=v3
build arm64 GOARCH=arm64

# run NAME ARGUMENTS: what the program prints, but for the seconds it took.
run() {
	local emulate=()
	[ "$1" != arm64 ] || emulate=("$arm")
	"${emulate[@]}" "$work/$1" "${@:2}" | grep -v '"seconds"'
}

# A processor without AVX2 and FMA cannot run v3.
kinds=(v1 arm64)
if [ "$(uname -m)" = x86_64 ] && grep -qw fma /proc/cpuinfo && grep -qw avx2 /proc/cpuinfo; then
	kinds=(v1 v3 arm64)
else
	echo "NOT RUN: GOAMD64=v3, this processor cannot"
fi

# same WHAT ARGUMENTS: every kind prints the same.
same() {
	local out kind bad=0
	out=$(mktemp -d -p "$work")
	for kind in "${kinds[@]}"; do
		run "$kind" "${@:2}" >"$out/$kind"
		[ -s "$out/$kind" ] || { echo "$1: $kind printed nothing"; bad=1; }
		cmp "$out/${kinds[0]}" "$out/$kind" || { echo "$1: ${kinds[0]} and $kind differ"; bad=1; }
	done
	printf 'same on %s: %s, %d bytes\n' "${kinds[*]}" "$1" "$(stat -c %s "$out/${kinds[0]}")"
	return "$bad"
}

pids=() # all at once: each keeps one processor busy
for id in "${scenarios[@]}"; do
	same "$id" weld --scenario "$id" --answer model --json &
	pids+=($!)
done
same "$live" arc --replay "$live" --json
same "$case" verify --cases "$case" --json &
pids+=($!)
failed=0
for pid in "${pids[@]}"; do wait "$pid" || failed=1; done
exit "$failed"
