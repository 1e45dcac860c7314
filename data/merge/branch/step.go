//go:build !js && !(unix && kill)

package branch

// step marks a point between two writes. The build tag kill lets a test end the
// program there.
func step(string) {}
