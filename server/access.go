package server

import (
	"context"
	"crypto/subtle"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"pintail/api/finding"
	"pintail/server/bearer"
	"pintail/storage"
)

// caller is who asks: what they may do, and the one workspace they may do it in.
type caller struct {
	storage.Workspace
	role storage.Role
	// actor is the name under which their changes are kept.
	actor string
}

// callerKey is where may leaves the caller of a request.
const callerKey = "caller"

func callerOf(c echo.Context) caller { return c.Get(callerKey).(caller) }

// ranks are the roles, the one that may least first.
var ranks = []storage.Role{storage.Reader, storage.Editor, storage.Admin}

// may lets through whoever has at least the role. It and identify are the one
// place that opens a workspace: a handler reaches no other than its caller's.
func (s *server) may(least storage.Role) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			c.Response().Header().Add("Vary", "Authorization")
			who, err := s.identify(c.Request())
			if err != nil {
				return err
			}
			if slices.Index(ranks, who.role) < slices.Index(ranks, least) {
				return finding.NewError(finding.Forbidden, "", "this key is a "+string(who.role)+"'s; this wants "+article(least)+"'s")
			}
			c.Set(callerKey, who)
			return next(c)
		}
	}
}

func article(r storage.Role) string {
	if r == storage.Reader {
		return "a " + string(r)
	}
	return "an " + string(r)
}

// identify says who sends a request. Until a key exists it is the person at this
// machine, who may do everything.
func (s *server) identify(r *http.Request) (caller, error) {
	locked, err := s.locked(r.Context())
	if err != nil {
		return caller{}, err
	}
	if !locked {
		if !here(r.Host) {
			return caller{}, finding.NewError(finding.Unauthorized, "", "there is no key yet; whoever runs this server makes one with `pintail key add --role admin`")
		}
		return caller{s.Store.In(storage.Default), storage.Admin, "local"}, nil
	}
	return s.holder(r)
}

// holder is whose key the request carries. Every fault gives the same answer.
func (s *server) holder(r *http.Request) (caller, error) {
	refused := finding.NewError(finding.Unauthorized, "", "send a key that is good here: Authorization: Bearer <key>")
	headers := r.Header.Values("Authorization")
	if len(headers) != 1 {
		return caller{}, refused
	}
	id, hash, ok := bearer.Parse(headers[0])
	if !ok {
		return caller{}, refused
	}
	key, found, err := s.Store.Key(r.Context(), id)
	if err != nil {
		return caller{}, err
	}
	// A key that is not there has a hash of zeros, which is no secret's.
	same := subtle.ConstantTimeCompare(key.Hash[:], hash[:]) == 1
	if !found || !same || !key.Revoked.IsZero() {
		return caller{}, refused
	}
	return caller{s.Store.In(key.Workspace), key.Role, "key/" + key.ID}, nil
}

// locked reports whether a key was ever made. That never becomes untrue again.
func (s *server) locked(ctx context.Context) (bool, error) {
	if s.anyKey.Load() {
		return true, nil
	}
	found, err := s.Store.AnyKey(ctx)
	if found {
		s.anyKey.Store(true)
	}
	return found, err
}
