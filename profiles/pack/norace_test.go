//go:build !race

package pack

const raceDetector = false
