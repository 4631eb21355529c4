// Package draw shows the curves of a profile: what a velocity means, what the
// sampler is sent for a level, how deep the vibrato is in which register and
// how it grows, and how the sound brightens. [Terminal] draws them in text, [SVG]
// as a picture of its own; both say in words what the picture says.
//
// The package asks the habits of package habits for what it draws, and has no
// formulas of its own.
package draw
