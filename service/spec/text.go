package spec

// Languages in the order of Text.
var Languages = [...]string{"en", "de", "fr", "it", "es"}

// Text is a name or note in up to five languages; English is always there. The zero value is no text.
type Text struct{ in *[len(Languages)]string }

// English is a text in English alone.
func English(s string) Text {
	if s == "" {
		return Text{}
	}
	return Text{&[len(Languages)]string{s}}
}

// NewText is a text from its languages in the order of Languages; empty ones fall back to English.
func NewText(by [len(Languages)]string) Text {
	if by == ([len(Languages)]string{}) {
		return Text{}
	}
	return Text{&by}
}

// In is the text in a language, else in English.
func (t Text) In(lang string) string {
	if t.in == nil {
		return ""
	}
	for i, l := range Languages {
		if l == lang && t.in[i] != "" {
			return t.in[i]
		}
	}
	return t.in[0]
}

// All is the text in every language as given, empty where it is missing.
func (t Text) All() [len(Languages)]string {
	if t.in == nil {
		return [len(Languages)]string{}
	}
	return *t.in
}

// Empty reports whether there is no text.
func (t Text) Empty() bool { return t.in == nil }
