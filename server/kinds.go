package server

import "github.com/labstack/echo/v4"

// kind is one kind of document that people keep.
type kind struct {
	// doc is the kind as documents are named by it, "<doc>/<id>".
	doc string
	// path is the kind in an address, list the member of a list's answer, and
	// member that of one document's.
	path, list, member string
}

// kinds are all kinds that have a resource. They differ in nothing but their
// names, except that a rig is shown with its usual trip.
var kinds = []kind{
	{doc: rigKind, path: "rigs", list: "rigs", member: "rig"},
	{doc: tripKind, path: "trips", list: "trips", member: "trip"},
	{doc: "walk", path: "walk-rounds", list: "walk_rounds", member: "walk_round"},
	{doc: "test", path: "test-records", list: "test_records", member: "test_record"},
}

const (
	rigKind  = "rig"
	tripKind = "trip"
)

// resource answers for the documents of one kind.
type resource struct {
	*server
	kind
}

// name is the full name of a document of this kind.
func (r resource) name(id string) string { return r.doc + "/" + id }

// named is the full name of the document that the address asks for.
func (r resource) named(c echo.Context) string { return r.name(c.Param("id")) }
