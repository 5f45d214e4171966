#!/usr/bin/env bash
# Walks a learner's path through the built trainer in a real terminal, in terminals
# of several kinds and sizes, and once more line by line:
#     .ci/walk.sh PROGRAM
# The terminal is tmux; what the trainer shows is read off its screen.
set -euo pipefail

program=$(realpath "$1")
home=$(mktemp -d)
export HOME=$home XDG_DATA_HOME=$home/data LC_ALL=C.UTF-8 TERM=xterm-256color
unset NO_COLOR
n=0 # a server a terminal: one that is ending takes no new session
tm() { tmux -L "walk-$$-$n" -f /dev/null "$@"; }
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
	for _ in $(seq 600); do
		shows "$1" && { say "seen: $1"; return; }
		sleep 0.05
	done
	fail "no \"$1\""
}

keys() { say "keys: $*"; tm send-keys -- "$@"; }
type() { say "typed: $1"; tm send-keys -l -- "$1"; }

# same WHAT WANT GOT
same() { [ "$2" = "$3" ] || fail "$1 is \"$3\", want \"$2\""; say "$1: $3"; }

# sit WIDTH HEIGHT: a new terminal with a shell in it.
sit() {
	tm kill-server 2>/dev/null || true
	n=$((n + 1))
	tm new-session -d -x "$1" -y "$2" "PS1='ready> ' exec sh -i"
	see '^ready>'
}

# run [NAME=VALUE...]: the trainer, or $command of it, with that in its environment; its process is in $home/pid.
command=''
run() {
	type "stty -a >$home/before; env $* sh -c 'echo \$\$ >$home/pid; exec \"$program\" $command'; echo ended with \$?"
	keys Enter
}

modes() { tm display-message -p '#{alternate_on} #{cursor_flag} #{mouse_any_flag} #{keypad_flag}'; }

# left: the trainer has ended and the terminal is as it was.
left() {
	see '^ended with 0$'
	same 'what the terminal was left as' "$was" "$(modes)"
	type "stty -a >$home/after; cmp $home/before $home/after && echo the same modes"
	keys Enter
	see '^the same modes$'
}

gone() { # PID: waits until it is
	for _ in $(seq 600); do
		kill -0 "$1" 2>/dev/null || { say "the trainer is gone"; return; }
		sleep 0.05
	done
	fail "process $1 did not end"
}

# answer: B-01's fields, and the weld.
answer() {
	see 'amps +\[ '
	type 54
	keys Enter
	type 120
	keys Enter
	type '1.2 mm'
	see 'all decided'
	keys Enter
	see 'to the coupon|what went wrong'
	if shows 'to the coupon'; then
		keys Space # leaves the replay
	fi
	see 'enter what went wrong'
}

# judge: from the coupon to the verdict; gives the outcome in $outcome.
judge() {
	keys Enter
	see 'enter say so'
	keys Enter
	see 'ACCEPT \+|REJECT x'
	outcome=$(tm capture-pane -p | grep -Eo 'ACCEPT|REJECT' | head -n 1)
	say "read off the screen: $outcome"
}

say "the trainer on the screen"
sit 80 24
was=$(modes)
run
see 'Before the first arc'
keys Enter
see '> next: '
keys n
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
see '> rod'

say "killed: what was typed is there again"
kill -9 "$(cat "$home/pid")"
gone "$(cat "$home/pid")"
sit 80 24
run
see '> go on with B-01 .* 2 of 3 filled in'
keys Enter
see '\[ 54 '
type '1.2'
see '\[ 1.2 '

say "the terminal closed: what was being typed as well"
pid=$(cat "$home/pid")
tm kill-server
gone "$pid"
sit 80 24
run
see '> go on with B-01 .* 3 of 3 filled in'
keys Enter
see 'all decided'
keys Enter
see 'to the coupon|what went wrong'
if shows 'to the coupon'; then
	keys Space
fi
see 'enter what went wrong'

say "another size in the middle"
tm resize-window -x 79 -y 20
see '79x20 is too small: 80x24 is needed'
tm resize-window -x 120 -y 40
see 'worst +heat input|here +worst'
tm resize-window -x 80 -y 24
judge
for score in burn-through 'lack of fusion' oxide; do
	see "$score +[0-9]+ [+x]"
done
first=$outcome
keys w
see 'last coupon'
keys Up
keys Enter
see 'to the coupon|what went wrong'
if shows 'to the coupon'; then
	keys Space
fi
see 'c compare'
keys c
see 'before, today'
see 'nothing was changed'
keys Escape
see 'enter what went wrong'
judge
same 'welded again' "$first" "$outcome"
keys n
see 'choose a joint'
keys Escape
see 'the record +2 coupons'
keys r
see '> today'
keys Enter
see 'as it was recorded'
keys Escape
see '> today'
keys Escape
see '> next: '
keys s
see 'units +\[metric\]'
keys Escape
see '> next: '
keys q
left

# loop WIDTH HEIGHT [NAME=VALUE...]: the whole loop in another terminal.
loop() {
	say "the whole loop at $1x$2 with ${*:3}"
	sit "$1" "$2"
	was=$(modes)
	run "${@:3}"
	see ' a new joint'
	keys n
	see 'choose a joint'
	type /
	type 'B-01'
	keys Enter
	answer
	screen=$(tm capture-pane -p)
	cells=$(tm capture-pane -p -e)
	judge
	same 'the outcome' "$first" "$outcome"
	keys C-c
	left
}

colour=$'\e\\[[0-9;]*([34][0-8]|9[0-7])[;m]'
loop 200 60 TERM=screen-256color
grep -qE "$colour" <<<"$cells" || fail "no colours"
loop 80 24 TERM=xterm
loop 80 24 NO_COLOR=1
! grep -qE "$colour" <<<"$cells" || fail "colours under NO_COLOR"
loop 80 24 LC_ALL=C
! LC_ALL=C grep -q $'[\x80-\xff]' <<<"$screen" || fail "other than ASCII under LC_ALL=C"
# tenths: the clock of a live run, in tenths of a second.
tenths() { tm capture-pane -p | sed -nE 's/^ arc lit .* ([0-9]+)\.([0-9]) s.*/\1\2/p'; }

# beat: waits until that clock has gone on by two; a slow machine makes it slower.
beat() {
	local from
	from=$(tenths)
	for _ in $(seq 600); do
		[ $((10#$(tenths) - 10#$from)) -lt 2 ] || return 0
		sleep 0.02
	done
	fail "the run's clock stands"
}

say "a seam welded live, by taps"
welded=$first
sit 80 24
was=$(modes)
run
see ' a new joint'
keys n
see 'choose a joint'
type /
type 'B-31'
keys Enter
see 'amps +\[ '
for value in 46 44 1; do
	type "$value"
	keys Enter
done
type '1.2 mm'
see 'all decided'
keys F2
see 'arc out'
keys n Enter
see 'arc lit'
see 'pool [1-9].*mm wide' # the clock is the trainer's: a slow machine waits longer
for tap in $(seq 40); do
	tm send-keys Right
	[ $((tap % 2)) = 1 ] || tm send-keys Space
	beat
done
see 'at 20 mm of 20 mm .* ([5-9]|[12][0-9]) dabs'
keys Enter
see 'enter what went wrong'
judge
see 'live run|dabs'
first=$welded

say "left in the middle of a run, at another size, after ctrl-z"
keys w
see 'arc out'
keys Enter
see 'arc lit'
keys C-z
tm resize-window -x 79 -y 20
see 'is too small'
tm resize-window -x 80 -y 24
see 'arc lit'
keys C-c
left
same 'runs recorded' 1 "$("$program" record | grep -c B-31)"

say "no screen on a dumb terminal"
sit 80 24
run TERM=dumb
see 'practice --plain goes line by line'
see '^ended with 5$'
outcome=$first

say "the same, line by line"
plain=$(printf '%s\n' B-01 54 120 '1.2 mm' nothing quit | "$program" practice --plain)
same 'said line by line' "$outcome" "$(printf '%s\n' "$plain" | grep -Eo '^(ACCEPT|REJECT)' | head -n 1)"

say "the same, from a file"
printf 'amps: 54 A\ntravel: 120 mm/min\nrod: 1.2 mm\n' >"$home/answer.yaml"
same 'printed from a file' "$outcome" "$("$program" weld --scenario B-01 --answer "$home/answer.yaml" | grep -Eo '^(ACCEPT|REJECT)')"

say "the record"
same 'coupons recorded' 7 "$("$program" record | grep -c B-01)"

say "a drill: killed in the middle it goes on, and the coupon counts"
printf 'title: Two\naim: Amps.\njoints: [B-01, B-02]\nask: [amps]\ntries: 2\ntime: {whole: 10 min}\n' >"$home/two.yaml"
command="drill run $home/two.yaml --name Ann --out $home/ann.json"
sit 80 24
was=$(modes)
run
see 'The clock starts with enter'
keys Enter
see 'joint 1 of 2  coupon 1 of 2  left in all 9 min'
type 25
keys Enter
see 'to the coupon|what went wrong'
kill -9 "$(cat "$home/pid")"
gone "$(cat "$home/pid")"
sit 80 24
run
see 'Goes on: 0 of 2 joints done'
keys Enter
see 'joint 1 of 2  coupon 2 of 2'
for joint in 1 2; do
	see "joint $joint of 2"
	keys Escape
	see '> stay at the joint'
	keys Down
	keys Enter
done
see 'Drill over: 0 of 2 joints passed, 1 coupon'
keys Enter
see 'The result is in'
left
"$program" drill verify "$home/ann.json" --drill "$home/two.yaml" | grep -q ' 0 doubts' || fail "the result does not hold"

say "no terminal"
code=0
"$program" </dev/null >/dev/null 2>"$home/errors" || code=$?
same 'exit code without a terminal' 5 "$code"
grep -q -- 'practice --plain' "$home/errors" || fail "no word of practice --plain"
say "walked"
