// What the libraries below print goes to a function instead.
#ifndef SWELLBOX_NOISE_H
#define SWELLBOX_NOISE_H

#ifdef __cplusplus
extern "C" {
#endif

// swellbox_catch_noise redirects the standard error stream of C++, to which RtMidi prints, and
// ALSA's function for errors; perror is redirected as it is. It is called once, before the library.
void swellbox_catch_noise(void);

#ifdef __cplusplus
}
#endif
#endif
