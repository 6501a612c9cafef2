# Builds the app and the server, and leaves one file that needs nothing else.
#
# The server listens on loopback only until it has keys, so run the image in the
# network of the machine or pod whose proxy stands in front of it:
#   docker run --network host -v pintail:/data IMAGE

FROM node:22 AS build
COPY --from=golang:1.26 /usr/local/go /usr/local/go
ENV PATH=/usr/local/go/bin:$PATH
ENV CGO_ENABLED=0
WORKDIR /src
COPY . .
RUN --mount=type=cache,target=/root/.npm --mount=type=cache,target=/root/.cache --mount=type=cache,target=/root/go/pkg/mod go generate ./...
RUN --mount=type=cache,target=/root/.cache --mount=type=cache,target=/root/go/pkg/mod go build -trimpath -ldflags="-s -w" -o image/pintail ./cmd/pintail
# /data keeps the rigs; --demo wants a /tmp.
RUN mkdir image/data image/tmp && chmod 1777 image/tmp

FROM scratch
COPY --from=build --chown=65532:65532 /src/image /
USER 65532:65532
VOLUME /data
ENTRYPOINT ["/pintail"]
CMD ["serve", "--data", "/data/pintail.db"]
