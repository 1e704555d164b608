package wire

import (
	"strings"

	"endfloat/service/spec"
)

// Href is the address of a thing within a component; what is specs or shims.
func Href(key spec.Key, what string) string {
	parts := strings.Split(string(key), "/")
	if len(parts) != 3 {
		return ""
	}
	return "/v1/families/" + parts[0] + "/components/" + parts[1] + "/" + what + "/" + parts[2]
}
