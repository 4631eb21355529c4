package settings

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"
	"github.com/spf13/viper"
)

// readConfigFile adds the configuration file to v. Only one that was asked for must
// be there. Its keys must be among the known ones.
func readConfigFile(v *viper.Viper, flags *pflag.FlagSet, known []string) error {
	path, err := flags.GetString("config")
	if err != nil {
		return err
	}
	asked := path != ""
	if !asked {
		dir, err := os.UserConfigDir()
		if err != nil {
			return nil // no home, no configuration: what a service has
		}
		path = filepath.Join(dir, "swellbox", "config.yaml")
	}
	file := viper.New()
	file.SetConfigFile(path)
	file.SetConfigType("yaml") // whatever its name ends in
	if err := file.ReadInConfig(); err != nil {
		if !asked && errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		var syntax viper.ConfigParseError
		if errors.As(err, &syntax) {
			return fmt.Errorf("the configuration %s is no readable YAML: %s", path, strings.TrimPrefix(syntax.Unwrap().Error(), "yaml: "))
		}
		return fmt.Errorf("the configuration %s cannot be read: %w", path, err)
	}
	for _, key := range file.AllKeys() {
		if !slices.Contains(known, key) {
			return fmt.Errorf("the configuration %s has the key %q, which is not known; the keys are %s", path, key, strings.Join(known, ", "))
		}
	}
	return v.MergeConfigMap(file.AllSettings())
}

// kinds says what a setting of a flag's type can be; what is not here can be anything.
var kinds = map[string]string{
	"bool": "it can be true or false", "int": "it must be a whole number",
	"uint64": "it must be a whole number, 0 or more", "float64": "it must be a number",
}

// checkKinds says in plain words which setting cannot be what it is to be. The file
// and the environment can say anything; flags have been checked.
func checkKinds(v *viper.Viper, all *pflag.FlagSet, known []string) error {
	for _, key := range known {
		said, value := fmt.Sprint(v.Get(key)), all.Lookup(strings.ReplaceAll(key, "_", "-")).Value
		if kind, ok := kinds[value.Type()]; ok && value.Set(said) != nil {
			return fmt.Errorf("%s is %q; %s", key, said, kind)
		}
	}
	return nil
}
