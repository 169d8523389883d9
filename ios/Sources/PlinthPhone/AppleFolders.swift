#if canImport(UIKit)
    import Foundation
    import PlinthKit
    import UIKit

    /// Folders and files that the lifter picked. The system lets the app in for as long as it says that it is there, and
    /// whoever keeps them is told, so that nothing is read or taken away in the middle.
    struct AppleFolders: Folders {
        func bookmark(_ folder: URL) throws -> Data { try folder.bookmarkData(options: .minimalBookmark) }

        func folder(_ bookmark: Data) throws -> (folder: URL, renewed: Data?) {
            var stale = false
            let folder = try URL(resolvingBookmarkData: bookmark, bookmarkDataIsStale: &stale)
            return (folder, stale ? try within(folder, self.bookmark) : nil)
        }

        func within<Value>(_ picked: URL, _ work: (URL) throws -> Value) throws -> Value {
            let allowed = picked.startAccessingSecurityScopedResource()
            defer { if allowed { picked.stopAccessingSecurityScopedResource() } }
            var fault: NSError?
            var done: Result<Value, any Error>?
            NSFileCoordinator().coordinate(writingItemAt: picked, options: .forMerging, error: &fault) { url in
                done = Result { try work(url) }
            }
            if let fault { throw fault }
            guard let done else { throw CocoaError(.userCancelled) }
            return try done.get()
        }
    }
#endif
