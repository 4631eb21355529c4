module swellbox

go 1.26
