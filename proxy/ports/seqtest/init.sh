#!/bin/busybox sh
# shellcheck shell=dash
# The first process of the virtual machine: mounts, loads the sequencer, runs the
# job below /job and sends its results through the second serial port.
export PATH=/usr/bin:/bin HOME=/job

/bin/busybox mkdir -p /proc /sys /dev /tmp
/bin/busybox mount -t proc proc /proc
/bin/busybox --install -s /bin
mount -t sysfs sys /sys
mount -t devtmpfs dev /dev
ip link set lo up

fail() {
	echo "seqtest: $*"
	reboot -f
}

# Nothing outlives the job, even when the test that waits for it is gone.
read -r lifetime </lifetime || fail "no lifetime"
(sleep "$lifetime" && fail "not done after $lifetime s") &

while read -r module; do
	insmod "$module" || fail "cannot load $module"
done </modules
[ -c /dev/snd/seq ] || fail "no /dev/snd/seq after loading the modules"

sh /job/run.sh /job
tar -c -z -f /results -C /job/results . || fail "cannot pack the results"

# A terminal would turn every LF into CR LF. The host believes the length and the sum.
stty -F /dev/ttyS1 raw -echo || fail "cannot set up the second serial port"
size=$(wc -c </results)
sum=$(sha256sum </results)
{
	echo "seqtest $size ${sum%% *}"
	cat /results
} >/dev/ttyS1 || fail "cannot send the results"
reboot -f
