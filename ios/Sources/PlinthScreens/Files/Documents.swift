import Foundation

/// Files that go out and come in: what can go wrong with them, and how they are put where they belong.
enum Documents {
    /// Whether there was no room.
    static func full(_ error: any Error) -> Bool {
        chain(error).contains { error in
            (error.domain == NSCocoaErrorDomain && error.code == CocoaError.fileWriteOutOfSpace.rawValue)
                || (error.domain == NSPOSIXErrorDomain && [Int(ENOSPC), Int(EDQUOT)].contains(error.code))
        }
    }

    /// Whether it was not allowed.
    static func barred(_ error: any Error) -> Bool {
        let cocoa: [CocoaError.Code] = [.fileReadNoPermission, .fileWriteNoPermission, .fileWriteVolumeReadOnly]
        return chain(error).contains { error in
            (error.domain == NSCocoaErrorDomain && cocoa.contains { $0.rawValue == error.code })
                || (error.domain == NSPOSIXErrorDomain && [Int(EACCES), Int(EPERM), Int(EROFS)].contains(error.code))
        }
    }

    private static func chain(_ error: any Error) -> [NSError] {
        var found: [NSError] = []
        var next: NSError? = error as NSError
        while let error = next, found.count < 16 {
            found.append(error)
            next = error.userInfo[NSUnderlyingErrorKey] as? NSError
        }
        return found
    }

    /// Copies a file in place of any other.
    static func copy(_ from: URL, to: URL) throws {
        if FileManager.default.fileExists(atPath: to.path) { try FileManager.default.removeItem(at: to) }
        try FileManager.default.copyItem(at: from, to: to)
    }

    /// Puts a copy of a file into a folder under a name: whole, or not there.
    static func put(_ file: URL, in folder: URL, as name: String) throws {
        let part = folder.appendingPathComponent(name + ".part")
        do {
            try copy(file, to: part)
            guard FileManager.default.contentsEqual(atPath: file.path, andPath: part.path) else {
                throw CocoaError(.fileWriteUnknown)
            }
            try FileManager.default.moveItem(at: part, to: folder.appendingPathComponent(name))
        } catch {
            try? FileManager.default.removeItem(at: part)
            throw error
        }
    }
}
