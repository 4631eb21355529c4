// The least that can pass a message on by RtMidi: what its thread receives is sent by that thread.

#include <cstddef>

// The C face of RtMidi 6.0.0 (rtmidi_c.h), as far as it is used.
extern "C" {
struct RtMidiWrapper;
typedef struct RtMidiWrapper *RtMidiPtr;
RtMidiPtr rtmidi_in_create(int api, const char *client, unsigned int queue);
RtMidiPtr rtmidi_out_create(int api, const char *client);
void rtmidi_open_virtual_port(RtMidiPtr device, const char *name);
void rtmidi_in_ignore_types(RtMidiPtr device, bool sysex, bool timing, bool sensing);
void rtmidi_in_set_callback(RtMidiPtr device, void (*callback)(double, const unsigned char *, size_t, void *), void *arg);
int rtmidi_out_send_message(RtMidiPtr device, const unsigned char *message, int length);
void pass(void);
}

static const int alsa = 2; // RTMIDI_API_LINUX_ALSA

static void forward(double, const unsigned char *message, size_t length, void *out) {
	rtmidi_out_send_message(static_cast<RtMidiPtr>(out), message, static_cast<int>(length));
}

void pass(void) {
	RtMidiPtr out = rtmidi_out_create(alsa, "pass");
	RtMidiPtr in = rtmidi_in_create(alsa, "pass", 1);
	rtmidi_in_ignore_types(in, false, false, false);
	rtmidi_in_set_callback(in, forward, out);
	rtmidi_open_virtual_port(out, "pass out");
	rtmidi_open_virtual_port(in, "pass in");
}
