#!/bin/sh
# Runs the scenarios of a staged job one after another: run.sh ROOT
# Each leaves its exit status, its log and its files in ROOT/results/NAME.
# Runs under busybox in the virtual machine and under any sh outside it.
set -u
root=$1
EMULATED=$(cat "$root/emulated")
export EMULATED FILES="$root/files" BIN="$root/bin" LIB="$root/lib.sh" PATH="$root/bin:$PATH"

# Script and watch are sessions of their own, so that each can be killed with all
# that it started. A shell without job control starts them as no group's leader:
# setsid need not fork, and $! is the number of the new group.
while read -r name limit; do
	dir=$root/results/$name
	home=$root/home/$name
	mkdir -p "$dir/out" "$home"
	cut -d ' ' -f 1 /proc/uptime >"$dir/began" 2>/dev/null
	chmod 700 "$home"
	cd "$home" || exit 1
	OUT=$dir/out HOME=$home XDG_RUNTIME_DIR=$home TMPDIR=$home \
		setsid sh -eu "$root/scenarios/$name.sh" </dev/null >"$dir/log" 2>&1 &
	script=$!
	setsid sh "$root/watch.sh" "$limit" "$script" </dev/null >>"$dir/log" 2>&1 &
	watch=$!
	wait "$script"
	status=$?
	# By number too: a quick script ends before the watch has its group.
	kill -s KILL -- "$watch" "-$watch" "-$script" 2>/dev/null
	wait "$watch" 2>/dev/null
	cut -d ' ' -f 1 /proc/uptime >"$dir/ended" 2>/dev/null
	echo "$status" >"$dir/status"
done <"$root/scenarios/list"
