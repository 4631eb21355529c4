module swellbox

go 1.26

require (
	github.com/go-audio/audio v1.0.0 // indirect
	github.com/go-audio/riff v1.0.0 // indirect
	github.com/go-audio/wav v1.1.0 // indirect
	gitlab.com/gomidi/midi/v2 v2.3.20 // indirect
	go.yaml.in/yaml/v3 v3.0.6 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
