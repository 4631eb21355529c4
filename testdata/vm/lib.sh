# shellcheck shell=sh
# Functions for scenario scripts (see package proxy/ports/seqtest): . "$LIB"
#
# Nothing here waits without end: each wait looks every tenth of a second, up to
# $TRIES times, which only a hang meets, and then says what it saw instead. POSIX sh, so without local
# variables: those of a function begin with an underscore.

TRIES=${TRIES:-1200}

# fail MESSAGE…: ends the script, with the ports as they are now.
fail() {
	echo "FAILED: $*"
	aconnect -l
	exit 1
}

# retry COMMAND…: until it succeeds. Status 1 after $TRIES failures.
retry() {
	_try=0
	until "$@"; do
		_try=$((_try + 1))
		[ "$_try" -lt "$TRIES" ] || return 1
		sleep 0.1
	done
}

# find_port NAME [CLIENT]: prints the address (128:0) of the port of that name, as
# "aconnect -l" lists it, status 1 if there is none. CLIENT narrows it to clients of that name.
find_port() {
	aconnect -l | awk -v name="$1" -v client="${2:-}" '
		/^client [0-9]+:/ { id = $2; current = quoted() }
		/^ +[0-9]+ \047/ && quoted() == name && (client == "" || current == client) {
			print id $1
			found = 1
			exit
		}
		END { exit !found }
		function quoted(  s) {
			s = substr($0, index($0, "\047") + 1)
			sub(/ *\047[^\047]*$/, "", s)
			return s
		}'
}

# wait_port NAME [CLIENT]: prints the address of a port once it is there.
wait_port() {
	retry find_port "$@" || fail "no port called '$1'" >&2
}

# wait_no_port NAME [CLIENT]: until the port is gone.
wait_no_port() {
	retry no_port "$@" || fail "the port '$1' is still there"
}

no_port() {
	! find_port "$@" >/dev/null
}

# start LABEL COMMAND…: runs a program in the background, its output in
# $OUT/LABEL.txt and $OUT/LABEL.err. LABEL is letters, digits and underscores.
start() {
	_label=$1
	shift
	"$@" >"$OUT/$_label.txt" 2>"$OUT/$_label.err" &
	eval "pid_$_label=\$!"
}

# stop LABEL [SIGNAL]: sends TERM, or the signal named, and waits for the end.
# The status is the program's own; a program that does not end fails the script.
stop() {
	_pid=
	eval "_pid=\$pid_$1"
	kill -s "${2:-TERM}" "$_pid"
	retry ended "$_pid" || fail "$1 did not end on ${2:-TERM}"
	wait "$_pid"
}

# ended PID: the process is gone, or a zombie that only waits for us.
ended() {
	case $(sed 's/.*) //' "/proc/$1/stat" 2>/dev/null) in
	'' | Z*) return 0 ;;
	esac
	return 1
}

# listen LABEL ADDRESS: starts aseqdump on a port, and returns once it is connected.
listen() {
	start "$1" aseqdump -p "$2"
	retry has_listener "$2" || fail "aseqdump did not connect to $2"
}

# record LABEL ADDRESS: as listen, into the MIDI file $OUT/LABEL.mid. The file is
# complete after "stop LABEL".
record() {
	start "$1" arecordmidi -p "$2" "$OUT/$1.mid"
	retry has_listener "$2" || fail "arecordmidi did not connect to $2"
}

# has_listener ADDRESS: somebody reads what leaves this port.
has_listener() {
	aconnect -l | awk -v want="$1" '
		/^client [0-9]+:/ { id = $2 }
		/^ +[0-9]+ \047/ { port = id $1 }
		/^\tConnecting To:/ && port == want { found = 1 }
		END { exit !found }'
}

# has_lines N FILE PATTERN: at least N lines of the file match (extended regular expression).
has_lines() {
	[ -e "$2" ] && [ "$(grep -c -E -e "$3" "$2")" -ge "$1" ]
}

# wait_lines N FILE PATTERN: until there are that many.
wait_lines() {
	retry has_lines "$@" || {
		echo "--- $2"
		cat "$2" || true
		fail "fewer than $1 lines like '$3' in $2"
	}
}

# wait_ended FILE: until as many notes have ended as began in what hear or player wrote. What is
# sent is not yet written when its sender has gone.
wait_ended() {
	retry all_ended "$1" || {
		cat "$1"
		fail "notes hang in $1"
	}
}

all_ended() {
	awk '
		$3 ~ /^9.....$/ && substr($3, 5) != "00" { held++ }
		$3 ~ /^8/ || $3 ~ /^9...00$/ { held-- }
		END { exit held != 0 }' "$1"
}

# same WANT GOT: the two files are equal, byte for byte.
same() {
	cmp "$1" "$2" || {
		diff -u "$1" "$2" | head -n 50
		fail "$2 is not $1"
	}
}

# live OPTION…: starts the daemon as "live", and returns once it plays.
live() {
	start live swellbox live "$@"
	wait_lines 1 "$OUT/live.txt" '^playing'
}

# hear LABEL PORT…: starts testdata/tap on ports, by their names, and returns once it
# listens. Each message is a line of $OUT/LABEL.txt: microseconds, port from 0, hex.
hear() {
	_ears=$1
	shift
	start "$_ears" tap hear "$@"
	wait_lines 1 "$OUT/$_ears.err" '^listening'
}

# heed LABEL PORT…: as hear, on outputs of the daemon started by live, and returns once it
# has seen us and has told us the present state.
heed() {
	_seen=$(grep -c 'brought to the present state' "$OUT/live.err") || true
	hear "$@"
	shift
	wait_lines $((_seen + $#)) "$OUT/live.err" 'brought to the present state'
}

# player LABEL NAME: as hear, from a virtual port that others find by its name.
player() {
	start "$1" tap player "$2"
	wait_lines 1 "$OUT/$1.err" '^listening'
}
