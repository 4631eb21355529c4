#!/bin/sh
# Ends a script that does not end by itself: watch.sh SECONDS GROUP
# TERM first, so that a script can say where it was; KILL a second later.
sleep "$1"
echo "stopped: the script did not end within its limit of $1 s"
kill -s TERM -- "-$2"
sleep 1
kill -s KILL -- "-$2"
