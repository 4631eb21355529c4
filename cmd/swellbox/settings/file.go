package settings

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
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

// checkKinds says in plain words which setting cannot be what it is to be. The file
// and the environment can say anything; flags have been checked.
func checkKinds(v *viper.Viper, all *pflag.FlagSet, known []string) error {
	for _, key := range known {
		said := fmt.Sprint(v.Get(key))
		switch all.Lookup(strings.ReplaceAll(key, "_", "-")).Value.Type() {
		case "bool":
			if _, err := strconv.ParseBool(said); err != nil {
				return fmt.Errorf("%s is %q; it can be true or false", key, said)
			}
		case "int":
			if _, err := strconv.Atoi(said); err != nil {
				return fmt.Errorf("%s is %q; it must be a whole number", key, said)
			}
		case "uint64":
			if _, err := strconv.ParseUint(said, 10, 64); err != nil {
				return fmt.Errorf("%s is %q; it must be a whole number, 0 or more", key, said)
			}
		case "float64":
			if _, err := strconv.ParseFloat(said, 64); err != nil {
				return fmt.Errorf("%s is %q; it must be a number", key, said)
			}
		}
	}
	return nil
}
