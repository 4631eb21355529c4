//go:build cgo && (linux || darwin || windows)

#include "noise.h"

#include <cerrno>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <iostream>
#include <streambuf>
#include <string>

#ifdef __linux__
#include <alsa/asoundlib.h>
#endif

extern "C" void swellboxDriverSaid(char *text, size_t length); // noise_cgo.go

namespace {

// Lines hands on each line that is printed. Several threads may print at once: each has a line
// of its own.
class Lines : public std::streambuf {
	static std::string &line() {
		static thread_local std::string l;
		return l;
	}

	static void put(char c) {
		std::string &l = line();
		if (c != '\n') {
			if (l.size() < 1000) l += c;
			return;
		}
		if (!l.empty()) swellboxDriverSaid(&l[0], l.size());
		l.clear();
	}

protected:
	int_type overflow(int_type c) override {
		if (!traits_type::eq_int_type(c, traits_type::eof())) put(traits_type::to_char_type(c));
		return traits_type::not_eof(c);
	}

	std::streamsize xsputn(const char *s, std::streamsize n) override {
		for (std::streamsize i = 0; i < n; i++) put(s[i]);
		return n;
	}
};

#ifdef __linux__
void alsaSaid(const char *, int, const char *function, int err, const char *format, ...) {
	char text[500];
	va_list args;
	va_start(args, format);
	vsnprintf(text, sizeof text, format, args);
	va_end(args);
	std::string line = std::string(function) + ": " + text;
	if (err) line += std::string(": ") + snd_strerror(err);
	swellboxDriverSaid(&line[0], line.size());
}
#endif

} // namespace

#ifdef __linux__
// The linker leads all calls of perror here, of which RtMidi has one.
extern "C" void __wrap_perror(const char *what) {
	std::string line = std::string(what) + ": " + std::strerror(errno);
	swellboxDriverSaid(&line[0], line.size());
}
#endif

extern "C" void swellbox_catch_noise(void) {
	static Lines *lines = new Lines; // never freed: threads may print until the very end
	std::cerr.rdbuf(lines);
#ifdef __linux__
	snd_lib_error_set_handler(alsaSaid);
#endif
}
