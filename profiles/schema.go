package profiles

import (
	"slices"

	"swellbox/profiles/reading"
)

var profileKeys = slices.Concat(
	[]reading.Key[draft]{
		versionKey[draft](),
		reading.PlainName("name", "name of the profile: lower-case letters, digits and single hyphens", func(d *draft) *string { return &d.profile.Name }),
		reading.PlainName("extends", "the profile that this one is based on, plain if none is named", func(d *draft) *string { return &d.extends }),
		reading.Word("family", "family of the instrument", families, func(d *draft) *string { return &d.profile.Family }),
	},
	[]reading.Key[draft]{
		reading.Word("voice", "which instrument of the demonstration it sounds like", voices, func(d *draft) *string { return &d.voice }),
		scoreKey,
	},
	playingKeys,
	[]reading.Key[draft]{
		reading.Section("articulation", "the profile's own way of playing, and what calls it back from a variant", callKeys...),
		{Name: "variants", About: "other ways of playing the same part, and what calls them; an empty list drops those of the parents",
			Form: reading.ListForm(reading.Object(variantKeys, "name"), 0, variantsLimit), Read: readVariants[draft](variantKeys)},
	},
)

// wayKeys are the keys of a variant once it is laid over its profile.
var wayKeys = slices.Concat(profileKeys, callKeys[1:]) // both have the name
