namespace NetAudit.Jobs;

/// <summary>What stands at the head of a report. Kept as settings of the store.</summary>
/// <param name="Name">The shop's name.</param>
/// <param name="Address">Its address, in lines.</param>
/// <param name="Currency">Symbol or code of its currency.</param>
public sealed record ShopDetails(string Name, string Address, string Currency)
{
    /// <summary>Name of the setting of the shop's name.</summary>
    public const string NameSetting = "shop_name";

    /// <summary>Name of the setting of the address.</summary>
    public const string AddressSetting = "shop_address";

    /// <summary>Name of the setting of the currency.</summary>
    public const string CurrencySetting = "currency";

    /// <summary>The settings as they stand.</summary>
    public static ShopDetails Of(JobStore store)
    {
        ArgumentNullException.ThrowIfNull(store);
        return new(
            store.Setting(NameSetting),
            store.Setting(AddressSetting),
            store.Setting(CurrencySetting)
        );
    }
}
