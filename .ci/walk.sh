#!/usr/bin/env bash
# Walks a learner's path through the built trainer in a real terminal, and once
# more line by line:
#     .ci/walk.sh PROGRAM
# The terminal is tmux, 80x24; what the trainer shows is read off its screen.
set -euo pipefail

program=$(realpath "$1")
home=$(mktemp -d)
export HOME=$home XDG_DATA_HOME=$home/data LC_ALL=C.UTF-8 TERM=xterm-256color
unset NO_COLOR
tm() { tmux -L "walk-$$" -f /dev/null "$@"; }
trap 'tm kill-server 2>/dev/null || true; rm -rf "$home"' EXIT

say() { printf '    %s\n' "$*"; }

fail() {
	printf 'walk: %s; the screen shows:\n' "$*"
	tm capture-pane -p 2>/dev/null || true
	exit 1
}

shows() { tm capture-pane -p | grep -E -- "$1" >/dev/null; }

# see PATTERN: waits until the screen shows it, half a minute at the most.
see() {
	for _ in $(seq 300); do
		shows "$1" && { say "seen: $1"; return; }
		sleep 0.1
	done
	fail "no \"$1\""
}

keys() { say "keys: $*"; tm send-keys -- "$@"; }
type() { say "typed: $1"; tm send-keys -l -- "$1"; }

# same WHAT WANT GOT
same() { [ "$2" = "$3" ] || fail "$1 is \"$3\", want \"$2\""; say "$1: $3"; }

say "the trainer on the screen"
tm new-session -d -x 80 -y 24 "PS1='ready> ' exec sh -i"
see '^ready>'
before=$(tm display-message -p '#{alternate_on} #{cursor_flag} #{mouse_any_flag} #{keypad_flag}')
type "'$program'; echo ended with \$?"
keys Enter
see 'Before the first arc'
keys Enter
see '> a new joint'
keys Enter
see 'choose a joint'
see 'B-01 +Drip tray'
type /
type 'B-01'
keys Enter
see 'amps +\[ '
type 54
keys Enter
type fast
keys Enter
see 'does not begin with a number'
keys BSpace BSpace BSpace BSpace
type 120
keys Enter
type '1.2 mm'
see 'all decided'
keys Enter
see 'to the coupon|enter what went wrong'
if shows 'to the coupon'; then
	keys Space # leaves the replay
fi
see 'enter what went wrong'
keys Enter
see 'enter say so'
keys Enter
see 'ACCEPT \+|REJECT x'
for score in burn-through 'lack of fusion' oxide; do
	see "$score +[0-9]+ [+x]"
done
outcome=$(tm capture-pane -p | grep -Eo 'ACCEPT|REJECT' | head -n 1)
say "read off the screen: $outcome"
keys C-c
see '^ended with 0$'
same 'what the terminal was left as' "$before" "$(tm display-message -p '#{alternate_on} #{cursor_flag} #{mouse_any_flag} #{keypad_flag}')"
type "stty -a | tr ' ;' '\\n\\n' | grep -xE -- '-?(icanon|echo|isig|opost)' | sort | xargs echo modes"
keys Enter
see '^modes echo icanon isig opost$'

say "the same, line by line"
plain=$(printf '%s\n' B-01 54 120 '1.2 mm' nothing quit | "$program" practice --plain)
same 'said line by line' "$outcome" "$(printf '%s\n' "$plain" | grep -Eo '^(ACCEPT|REJECT)' | head -n 1)"

say "the same, from a file"
printf 'amps: 54 A\ntravel: 120 mm/min\nrod: 1.2 mm\n' >"$home/answer.yaml"
same 'printed from a file' "$outcome" "$("$program" weld --scenario B-01 --answer "$home/answer.yaml" | grep -Eo '^(ACCEPT|REJECT)')"

say "the record"
same 'coupons recorded' 2 "$("$program" record | grep -c B-01)"

say "no terminal"
code=0
"$program" </dev/null >/dev/null 2>"$home/errors" || code=$?
same 'exit code without a terminal' 5 "$code"
grep -q -- 'practice --plain' "$home/errors" || fail "no word of practice --plain"
say "walked"
