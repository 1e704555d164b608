// Package catalogue answers what is allowed: families, components, specs and shims.
//
// It decides how the read model is shown. It refuses to know how readings are judged.
package catalogue

import (
	"endfloat/api/rim"
	"endfloat/api/text"
)

// Handlers answer look-ups. They are safe for concurrent use.
type Handlers struct{ book *text.Book }

// New makes the handlers.
func New(book *text.Book) Handlers { return Handlers{book} }

// FamilyList is a page of families.
type FamilyList struct {
	Items         []FamilyItem `json:"items"`
	NextPageToken string       `json:"next_page_token,omitzero"`
	Revision      string       `json:"revision"`
	Rules         string       `json:"rules"`
} //@name FamilyList

// FamilyItem is a family in a list.
type FamilyItem struct {
	Key  string `json:"key" example:"pl-85"`
	Href string `json:"href" example:"/v1/families/pl-85"`
	Name string `json:"name" example:"PL-85"`
} //@name FamilyItem

// Families answers GET /v1/families.
func (h Handlers) Families(r *rim.Request) (rim.Reply, error) {
	list := FamilyList{Items: []FamilyItem{}, Revision: r.Revision.Name}
	for _, f := range r.Revision.Families {
		list.Items = append(list.Items, FamilyItem{f.Key, "/v1/families/" + f.Key, f.Name.In(r.Lang)})
	}
	return rim.JSON(list), nil
}
