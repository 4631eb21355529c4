// Package mp3 writes sound as MPEG-1 layer III, which every browser plays.
//
// The encoder is LAME 3.100, unchanged, compiled to WebAssembly and run by wazero, so that no C
// compiler and no library of the system is needed: lame.wasm is mp3.wasm of the npm package
// wasm-media-encoders 0.7.0. LICENSE has its terms.
package mp3
