//go:build race

package pack

const raceDetector = true
