#if canImport(Security)
    import Foundation
    import PlinthKit
    import Security

    /// The pairing in the keychain: on this device alone, readable from the first unlock after a start on. A mark beside
    /// the record tells a pairing that was lost from one that never was: the keychain does not go to another phone.
    struct AppleVault: Vault {
        /// The file that says that there was a pairing.
        let mark: URL

        private var item: [String: Any] {
            [
                kSecClass as String: kSecClassGenericPassword,
                kSecAttrService as String: "plinth.pairing",
                kSecAttrAccount as String: "server",
            ]
        }

        func read() -> KeptPairing {
            var wanted = item
            wanted[kSecReturnData as String] = true
            wanted[kSecMatchLimit as String] = kSecMatchLimitOne
            var found: CFTypeRef?
            let status = SecItemCopyMatching(wanted as CFDictionary, &found)
            if status == errSecSuccess, let data = found as? Data,
                let pairing = try? JSONDecoder().decode(Pairing.self, from: data)
            {
                return .here(pairing)
            }
            // Before the first unlock it is there and cannot be read: nothing is lost, and nothing can be done now.
            if status == errSecInteractionNotAllowed { return .nothing }
            return FileManager.default.fileExists(atPath: mark.path) ? .lost : .nothing
        }

        func keep(_ pairing: Pairing) -> Bool {
            guard let data = try? JSONEncoder().encode(pairing) else { return false }
            let values: [String: Any] = [
                kSecValueData as String: data,
                kSecAttrAccessible as String: kSecAttrAccessibleAfterFirstUnlockThisDeviceOnly,
            ]
            var status = SecItemUpdate(item as CFDictionary, values as CFDictionary)
            if status == errSecItemNotFound {
                status = SecItemAdd(item.merging(values) { $1 } as CFDictionary, nil)
            }
            guard status == errSecSuccess else { return false }
            try? Data().write(to: mark)
            return true
        }

        func forget() {
            SecItemDelete(item as CFDictionary)
            try? FileManager.default.removeItem(at: mark)
        }
    }
#endif
